/** Trouble in words, with the first steps; they follow the trade's care sheets (common practice, no source). */

import type { Barrel, TroubleLine } from '~/api/types.ts';
import { capital, inWords } from './numbers.ts';

export interface TroubleKind {
  kind: 'leak' | 'off_smell' | 'damaged' | 'missing';
  label: string;
  /** As the verdict over a barrel. */
  verdict: string;
  /** What to do first, one line each. */
  steps: string[];
  /** Whether nobody should taste before the keeper looked. */
  quarantine: boolean;
}

export const TROUBLES: TroubleKind[] = [
  {
    kind: 'leak',
    label: 'A leak',
    verdict: 'It leaks.',
    steps: [
      'Catch what drips and measure it.',
      'Wipe the joints dry, then see which one weeps.',
      'Keep flames and sparks away: spirit vapour burns.',
      'If it runs, ask the keeper before anything is poured; lifting a full barrel takes two.',
    ],
    quarantine: false,
  },
  {
    kind: 'off_smell',
    label: 'An off smell',
    verdict: 'It smells wrong.',
    steps: [
      'Do not taste it, and do not fill it.',
      'Say what it smells of: vinegar, must, sulphur, nail varnish.',
      'Air the room. Leave any sulphite to the keeper; never near somebody with asthma.',
    ],
    quarantine: true,
  },
  {
    kind: 'damaged',
    label: 'Damage',
    verdict: 'It is damaged.',
    steps: [
      'Do not roll or lift it.',
      'Say what is damaged: stave, head, hoop, bung or spigot.',
      'Put a tray beneath it if it holds anything.',
    ],
    quarantine: false,
  },
  {
    kind: 'missing',
    label: 'Missing',
    verdict: 'It is missing.',
    steps: ['Look in the other places.', 'Say who saw it last, and when.'],
    quarantine: false,
  },
];

/** What was said of it, or that it was tasted and how often. */
export function troubleNote({ note, tastes }: TroubleLine): string {
  if (tastes.length === 0) return note;
  return tastes.length === 1 ? 'A taste found it.' : `${capital(inWords(tastes.length))} tastes found it.`;
}

const byKind = new Map(TROUBLES.map((one) => [one.kind as string, one]));

export const troubleKind = (kind: string): TroubleKind | undefined => byKind.get(kind);
export const troubleVerdict = (kind: string): string => byKind.get(kind)?.verdict ?? 'There is trouble.';
export const troubleLabel = (kind: string): string => byKind.get(kind)?.label ?? 'Trouble';

/** In the order of what cannot wait. */
const URGENCY = ['leak', 'missing', 'damaged', 'off_smell'];

export interface Found {
  barrel: Barrel;
  trouble: TroubleLine;
}

/** The trouble that cannot wait, of all barrels. */
export function worstTrouble(barrels: Barrel[]): Found | null {
  const all = barrels
    .filter((barrel) => barrel.state !== 'retired')
    .flatMap((barrel) => barrel.troubles.map((trouble) => ({ barrel, trouble })));
  all.sort(
    (a, b) =>
      URGENCY.indexOf(a.trouble.kind) - URGENCY.indexOf(b.trouble.kind) ||
      a.trouble.since.localeCompare(b.trouble.since),
  );
  return all[0] ?? null;
}

/** Why nobody may taste from it, or null. */
export function quarantineWords(barrel: Barrel): string | null {
  const held = barrel.troubles.find((trouble) => trouble.quarantine);
  return held ? 'No tasting until the keeper clears it.' : null;
}
