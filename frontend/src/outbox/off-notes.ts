/** Notes in a taste that are trouble at the barrel: the service takes the entry itself for its trouble. */

import type { Barrel, OffNote, Sign } from '../api/types.ts';

/** What each says by the diagnosis table, the gravest first. */
const SIGN_OF = [
  ['musty', 'musty'],
  ['vinegar', 'vinegar'],
  ['sulphur', 'rotten_egg'],
] as const satisfies readonly (readonly [OffNote, Sign])[];

/** What the gravest of these notes says, or nothing where none alarms. */
export function signOf(notes: readonly string[]): Sign | undefined {
  return SIGN_OF.find(([note]) => notes.includes(note))?.[1];
}

function gravest(signs: readonly string[]): string {
  return SIGN_OF.find(([, sign]) => signs.includes(sign))?.[1] ?? '';
}

interface Taste {
  id: string;
  at: string;
  body: Record<string, unknown>;
}

/** Whether this trouble was raised by tastes of what is in the barrel now. */
const isOfFill = (barrel: Barrel, trouble: Barrel['troubles'][number]): boolean =>
  trouble.tastes.length > 0 &&
  !!barrel.contents &&
  Date.parse(trouble.since) >= Date.parse(barrel.contents.started_at);

/** A taste that was corrected or taken back raises nothing any more. */
export function untasted(barrel: Barrel, id: unknown): Barrel {
  if (typeof id !== 'string' || !barrel.troubles.some((one) => one.tastes.includes(id))) return barrel;
  const troubles = barrel.troubles.flatMap((one) => {
    const tastes = one.tastes.filter((taste) => taste !== id);
    if (one.tastes.length === 0 || tastes.length === one.tastes.length) return [one];
    return tastes.length > 0 ? [{ ...one, id: tastes[0]!, tastes }] : [];
  });
  return { ...barrel, troubles };
}

/** An alarming taste is trouble under its own id; several of one fill are one. */
export function tasted(before: Barrel, taste: Taste): Barrel {
  const barrel = untasted(before, taste.body.replaces);
  const notes = Array.isArray(taste.body.off_notes) ? (taste.body.off_notes as string[]) : [];
  const sign = signOf(notes);
  if (!sign || taste.body.fill !== barrel.contents?.stay) return barrel;
  const known = barrel.troubles.find((one) => isOfFill(barrel, one));
  if (known?.tastes.includes(taste.id)) return barrel;
  const trouble: Barrel['troubles'][number] = known
    ? { ...known, sign: gravest([known.sign, sign]), tastes: [...known.tastes, taste.id] }
    : {
        id: taste.id,
        kind: 'off_smell',
        since: taste.at,
        sign,
        quarantine: true,
        note: '',
        tastes: [taste.id],
      };
  return { ...barrel, troubles: [...barrel.troubles.filter((one) => one !== known), trouble] };
}

/** What stands once one trouble is settled: with an off smell every taste of the fill up to then is answered. */
export function unsettled(barrel: Barrel, id: unknown): Barrel['troubles'] {
  const named = barrel.troubles.find((one) => one.id === id || one.tastes.some((taste) => taste === id));
  return barrel.troubles.filter(
    (one) => one !== named && !(named?.kind === 'off_smell' && isOfFill(barrel, one)),
  );
}
