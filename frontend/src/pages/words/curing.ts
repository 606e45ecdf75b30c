/** A curing in words: the verdict, what leaves and why, what decides, and what to do next. */

import type { Barrel, Joint } from '~/api/types.ts';
import type { Bead } from '~/components/draw/picture.ts';
import { rangeText } from '~/components/range/format.ts';
import type { JointSeen, Judged } from '../curing/observed.ts';
import { capital, counted, inWords, listed, litres, unit } from './numbers.ts';
import { daysSince, type Moment, nearDayOf, nearTime } from './time.ts';

const HOUR_MS = 3_600_000;
const DRY_JOINT_H = 12;

export const INSPECTED: { value: string; label: string }[] = [
  { value: 'hoops', label: 'Hoops sit firm and even' },
  { value: 'staves', label: 'No crack in a stave' },
  { value: 'heads', label: 'No crack in a head' },
  { value: 'worm', label: 'No worm hole' },
  { value: 'light', label: 'No light through a joint, seen from the bung' },
  { value: 'spigot', label: 'Spigot fitted by hand, handle up' },
];

export const JOINT_PARTS: { value: Joint['part']; label: string }[] = [
  { value: 'stave', label: 'Between staves' },
  { value: 'head', label: 'Round a head' },
  { value: 'spigot', label: 'The spigot' },
  { value: 'bung', label: 'The bung' },
];

export const JOINT_STATES: { value: Joint['state']; label: string }[] = [
  { value: 'wiped', label: 'Wiped dry now' },
  { value: 'dry', label: 'Stayed dry' },
  { value: 'beads', label: 'Beads again' },
];

const isWet = (joint: JointSeen): boolean => joint.state === 'beads';

/** "Closing." over a curing. */
export function curingVerdict(judged: Judged): string {
  const { tightness, observed } = judged;
  if (tightness?.is_rejected) return 'It pours out.';
  if (tightness?.is_given_up && tightness.verdict !== 'tight') return 'It will not close.';
  if (observed.joints.some(isWet) && tightness?.verdict === 'tight') return 'Not yet.';
  switch (tightness?.verdict) {
    case 'tight':
      return 'Tight.';
    case 'closing':
      return 'Closing.';
    case 'not_closing':
      return 'Not closing.';
    default:
      return 'Keep soaking.';
  }
}

/** Whether the figures and the joints together call it tight. A visible drip overrules any number. */
export const isShownTight = (judged: Judged): boolean =>
  judged.tightness?.verdict === 'tight' && !judged.observed.joints.some(isWet);

/** When it will be tight by the trend; null where there is none, or where it is now. */
export function tightWhen(judged: Judged, now: Moment): number | null {
  const { tightness, observed } = judged;
  if (tightness?.verdict !== 'closing' || tightness.predicted_tight_h === null) return null;
  return Math.max(now.now_ms, observed.started_ms + tightness.predicted_tight_h * HOUR_MS);
}

/** The sentence under the verdict: what it means, and what to do. */
export function curingAdvice(barrel: Pick<Barrel, 'name'>, judged: Judged, now: Moment): string {
  const { tightness, observed } = judged;
  const elapsed_h = (now.now_ms - observed.started_ms) / HOUR_MS;
  if (!observed.is_full)
    return 'Roll it so that all the wood is wet. As the leaks slow, fill it to the bung.';
  if (tightness?.is_rejected)
    return 'Over a tenth of it an hour after the first day. Drain it, and ask the maker for another.';
  if (isShownTight(judged))
    return 'Weigh it full, drain it, smell it, weigh it wet, and fill it the same day.';
  if (tightness?.is_given_up)
    return 'A week has gone. Give it up, or ask the maker for another; a trained hand may drive the hoops.';
  if (!tightness) return 'Top it up to the same mark after two hours, and write down how much it took.';
  const ms = tightWhen(judged, now);
  if (ms !== null) return `Probably tight ${dayWords(ms, now)}.`;
  if (tightness.verdict === 'tight') return `A joint of ${barrel.name} still beads. Wipe it and wait.`;
  if (tightness.is_too_coarse)
    return 'The jug is too coarse to tell. Measure with a syringe, or wait for a longer stretch.';
  if (tightness.verdict === 'not_closing')
    return 'Hot water on the outer heads, twenty minutes a side, may help. It scalds: gloves, and the bung out.';
  const figure = tightness.leak_upper_ml_per_dm2_day <= 1;
  if (figure && observed.dry_joint_h < DRY_JOINT_H)
    return 'What leaves is little enough. A wiped joint that stays dry for twelve hours settles it.';
  if (figure && elapsed_h < 24) return 'Little leaves. Give it its first whole day.';
  return 'Keep it full. Wood needs a day or two to swell.';
}

function dayWords(ms: number, now: Moment): string {
  if (ms - now.now_ms < 6 * HOUR_MS) return 'within hours';
  const day = nearDayOf(ms, now);
  return day === 'today' || day === 'tomorrow' ? day : `on ${day}`;
}

/** "Some 22 to 26 mL a day leaves. The wood drinks 6 to 9 of it; the rest leaks." */
export function leavesSentence(judged: Judged): { leaves: string; rest: string } | null {
  const { tightness } = judged;
  if (!tightness) return null;
  const drunk = 24 * tightness.wood_and_air_ml_per_h;
  const drunk_u = 24 * tightness.wood_and_air_u_ml_per_h;
  const leaks = 24 * tightness.rate_ml_per_h;
  const u = 24 * tightness.rate_u_ml_per_h;
  const whole = leaks + drunk;
  const over = unit(Math.round(tightness.window_h), 'hours');
  const leaves = `Some ${mlRange(whole - u, whole + u)} a day leaves, over the last ${over}. `;
  const low = Math.max(0, drunk - drunk_u);
  const high = Math.min(whole, drunk + drunk_u);
  if (leaks < 1) return { leaves, rest: 'The wood and the air take all of it.' };
  return {
    leaves: `${leaves}The wood and the air take ${plain(low, high)} of it; `,
    rest: 'the rest leaks.',
  };
}

const round = (ml: number): number => (ml < 20 ? Math.round(ml) : Math.round(ml / 2) * 2);
function plain(low: number, high: number): string {
  const [from, to] = [round(Math.max(0, low)), round(high)];
  return from === to ? `about ${from}` : `${from} to ${to}`;
}
const mlRange = (low: number, high: number): string =>
  rangeText({ low: round(Math.max(0, low)), high: Math.max(round(high), 1), unit: 'mL' });

/** "Two joints beaded again, two stayed dry." */
export function jointsSentence(judged: Judged): string {
  const { joints } = judged.observed;
  if (joints.length === 0) return 'No joint wiped yet.';
  const wet = joints.filter(isWet).length;
  const dry = joints.filter((joint) => joint.state === 'dry').length;
  const waiting = joints.length - wet - dry;
  const parts = [
    ...(wet > 0 ? [`${counted(wet, 'joint', 'joints')} beaded again`] : []),
    ...(dry > 0 ? [`${wet > 0 ? inWords(dry) : counted(dry, 'joint', 'joints')} stayed dry`] : []),
    ...(waiting > 0
      ? [`${wet + dry > 0 ? inWords(waiting) : counted(waiting, 'joint', 'joints')} wiped, to be looked at`]
      : []),
  ];
  return `${capital(listed(parts))}.`;
}

type Cared = { care: (Barrel['care'][number] & { here_at?: string | null })[] };

/** Next top-up, water change and what settles it, by the club's own periods; what was just done is not asked for. */
export function nextSentence(barrel: Cared, judged: Judged, now: Moment): string {
  const ahead = barrel.care.filter((line) => !line.here_at);
  const change = ahead.find((line) => line.task === 'water_change');
  const topUp = ahead.find((line) => line.task === 'top_up');
  const parts = ['A joint wiped and dry for 12 hours settles it.'];
  if (topUp) {
    const at = Date.parse(topUp.due_at);
    parts.push(at <= now.now_ms ? 'A top-up is due.' : `Next top-up ${nearTime(at, now)}.`);
  }
  if (change) {
    const at = Date.parse(change.due_at);
    const stood = daysSince(judged.observed.changed_ms, now);
    const long = stood > 0 ? ` for ${counted(stood, 'day', 'days').toLowerCase()}` : ' long enough';
    parts.push(
      at <= now.now_ms
        ? `The water has stood${long}: change it.`
        : `Change the water by ${nearTime(at, now)}.`,
    );
  }
  return parts.join(' ');
}

/** "Full of water for 37 hours." */
export function soakedFor(judged: Judged, now: Moment): string {
  const hours = Math.max(0, Math.floor((now.now_ms - judged.observed.started_ms) / HOUR_MS));
  const what = judged.observed.is_full
    ? 'Full of water'
    : `${litres(judged.observed.water_l)} of water in it`;
  if (hours < 1) return `${what} since just now.`;
  if (hours < 72) return `${what} for ${unit(hours, hours === 1 ? 'hour' : 'hours')}.`;
  return `${what} for ${Math.round(hours / 24)} days.`;
}

/** The drops and open rings round the barrel's picture. */
export function beadsOf(judged: Judged): Bead[] {
  const wet = judged.observed.joints.filter(isWet);
  const each = (judged.per_day_ml.at(-1) ?? 10) / Math.max(1, wet.length);
  return judged.observed.joints
    .filter((joint) => joint.clock !== null && joint.clock !== undefined)
    .map((joint, number) => ({
      // Two parts may bead at one hour: a little aside of one another.
      at: ((joint.clock! % 12) * 30 + (joint.part === 'stave' ? 0 : 7) + (number % 2) * 2) % 360,
      mlPerDay: each,
      ...(isWet(joint) ? {} : { dry: true }),
    }));
}

/** The string of drops, read aloud. */
export function dropsLabel(judged: Judged, when: string | null): string {
  const drops = judged.per_day_ml.map((ml) => String(Math.round(ml)));
  const tight = Math.round(judged.tight_ml_per_day);
  const said = `Loss at each top-up: ${drops.join(', ')} millilitres a day; tight is ${tight}`;
  return when ? `${said}, expected ${when}.` : `${said}.`;
}

/** Where a joint is: "between staves at 5 o'clock". */
export function jointWords(joint: Pick<Joint, 'part' | 'clock'>): string {
  const part = JOINT_PARTS.find((one) => one.value === joint.part)?.label ?? joint.part;
  return joint.clock ? `${part} at ${joint.clock} o’clock` : part;
}
