/** What is looked at before a barrel is filled: each gate with how it stands and why. */

import type { Barrel, FillGate, Spirit } from '~/api/types.ts';
import { isPlaced, isReturned } from '~/outbox/line.ts';
import type { LogLine } from '~/outbox/overlay.ts';
import { allergenWord } from './ingredients.ts';
import { LAW, lawAnswer } from './law.ts';
import { amountWords, goesInL, OVER_L } from './mix.ts';
import type { Mix, MixDraft } from './mix-plan.ts';
import type { VesselTrouble } from './mix-vessel.ts';
import { listed } from './numbers.ts';
import { daysSince, type Moment, nearDayOf } from './time.ts';

/** open: somebody must do or accept something. amber: said, and in nobody's way. shut: not now. */
export type GateState = 'ok' | 'open' | 'amber' | 'shut';

export interface Gate {
  gate: FillGate;
  state: GateState;
  reason: string;
  /** What somebody ticks to go through an open gate. */
  accept?: string;
  /** Ticking it says that something was just done, and is written down so. */
  does?: 'rinse';
}

export interface GateFacts {
  barrel: Barrel;
  /** Newest first; null while the phone still reads it. */
  log: readonly LogLine[] | null;
  draft: MixDraft;
  mix: Mix;
  law: Record<string, unknown>;
  /** What the sharers avoid, where the reader may know it. */
  avoided: { name: string; allergens: readonly string[] }[];
  /** What stands against pouring out of the vessels, if any does. */
  vessels?: readonly VesselTrouble[];
  moment: Moment;
}

/** Wood that was wet within these days has not shrunk yet; the service takes it to be wet for as long. */
const STILL_WET_DAYS = 7;
/** What was last shown of a barrel, where that was not that it is tight. */
const NOT_SHOWN_TIGHT: Partial<Record<Barrel['tightness']['shown'], string>> = {
  given_up: 'Its last curing was given up: nobody has called it tight since.',
  unfinished: 'Its last curing ended before anybody called it tight.',
  repaired: 'It was charred or toasted anew, and fire dries the wood. Cure it again first.',
};
/** Under this a strip says that the sulphite is gone (common practice; barrel_and_cellar care schedule: under 10 mg/L). */
export const SULPHITE_GONE_MG_L = 10;

export function fillGates(facts: GateFacts): Gate[] {
  return [
    quarantine(facts),
    tight(facts),
    rinsed(facts),
    sulphite(facts),
    mixGate(facts),
    allergens(facts),
    wood(facts),
    ...law(facts),
  ].filter((gate): gate is Gate => gate !== null);
}

/** Whether every open gate has its tick and none is shut. */
export function isClear(gates: readonly Gate[], accepted: readonly string[]): boolean {
  return gates.every(
    (gate) =>
      gate.state === 'ok' ||
      gate.state === 'amber' ||
      (gate.state === 'open' && accepted.includes(gate.gate)),
  );
}

/** As the entry keeps them. */
export function gatesBody(gates: readonly Gate[], accepted: readonly string[]) {
  return gates.map((gate) => {
    const ticked = gate.state === 'open' && accepted.includes(gate.gate);
    const wasDone = ticked && gate.does !== undefined;
    return {
      gate: gate.gate,
      ok: gate.state === 'ok' || wasDone,
      reason: (ticked && gate.accept ? `${gate.reason} ${gate.accept}.` : gate.reason).slice(0, 300),
      accepted_by_choice: ticked && !wasDone,
    };
  });
}

function quarantine({ barrel }: GateFacts): Gate | null {
  if (!barrel.troubles.some((trouble) => trouble.quarantine)) return null;
  return {
    gate: 'quarantine',
    state: 'shut',
    reason: 'The barrel is in quarantine. Settle its trouble first.',
  };
}

function tight({ barrel, moment }: GateFacts): Gate {
  const gate = { gate: 'tight' as const, accept: 'It is tight all the same' };
  if (barrel.state === 'filled') {
    return { gate: 'tight', state: 'shut', reason: 'A fill is in it already. Decant that first.' };
  }
  if (barrel.state === 'retired') {
    return { gate: 'tight', state: 'shut', reason: 'The barrel is retired.' };
  }
  if (barrel.troubles.some((trouble) => trouble.kind === 'leak')) {
    return { ...gate, state: 'open', reason: 'Its leak is not settled.' };
  }
  if (barrel.state === 'curing') {
    return { ...gate, state: 'open', reason: 'Still curing: nobody has called it tight.' };
  }
  // A barrel that was read before the service told of this has nothing to say of it.
  const unshown = NOT_SHOWN_TIGHT[barrel.tightness?.shown ?? 'unknown'];
  if (unshown) return { ...gate, state: 'open', reason: unshown };
  if (barrel.state === 'held') return { gate: 'tight', state: 'ok', reason: 'Held wet until now.' };
  if (barrel.state === 'new' || barrel.state_since === null) {
    const reason = barrel.register.adopted
      ? 'Adopted as found: nobody has called it tight here.'
      : 'Never cured: new staves leak.';
    return { ...gate, state: 'open', reason };
  }
  const since_ms = Date.parse(barrel.state_since);
  const days = daysSince(since_ms, moment);
  if (days > STILL_WET_DAYS) {
    const was = barrel.state === 'ready' ? 'Found tight' : 'Empty for';
    const ago = barrel.state === 'ready' ? `${days} days ago, and empty since` : `${days} days`;
    const reason = `${was} ${ago}: its staves may have shrunk. Fill it with water for a night first.`;
    return { ...gate, state: 'open', reason };
  }
  if (barrel.state === 'ready') {
    return { gate: 'tight', state: 'ok', reason: `Found tight ${nearDayOf(since_ms, moment)}.` };
  }
  const since = days <= 0 ? 'today' : days === 1 ? 'yesterday' : `${days} days ago`;
  return { gate: 'tight', state: 'ok', reason: `Held liquid until ${since}, so its wood is still wet.` };
}

const hasTask = (line: LogLine, task: string): boolean =>
  line.collection === 'tendings' &&
  Array.isArray(line.body?.tasks) &&
  (line.body.tasks as string[]).includes(task);

const stands = (line: LogLine): boolean => isPlaced(line) && !isReturned(line);

/** The newest entry that dirtied the wood: a decant, a solution, sulphur. */
function rinsed({ barrel, log }: GateFacts): Gate {
  const open: Gate = {
    gate: 'rinsed',
    state: 'open',
    reason: '',
    accept: 'Rinsed with clear water just now',
    does: 'rinse',
  };
  if (log === null) return { ...open, reason: 'The log is still being read.' };
  const lines = log.filter(stands);
  const last = lines.find(
    (line) =>
      line.collection === 'decants' ||
      hasTask(line, 'sulphiting') ||
      (line.collection === 'holds' && line.body?.is_solution === true),
  );
  const wash = lines.find((line) => hasTask(line, 'rinse'));
  if (!last) {
    const isFresh = barrel.held_before.length === 0;
    if (!wash && isFresh && barrel.register.adopted) {
      return {
        gate: 'rinsed',
        state: 'amber',
        reason: 'Adopted as found: nobody here knows what was in it last.',
      };
    }
    return wash || isFresh
      ? { gate: 'rinsed', state: 'ok', reason: 'Only water was in it since.' }
      : { ...open, reason: 'Nobody wrote down a rinse since its last fill.' };
  }
  if (wash && Date.parse(wash.happened_at) >= Date.parse(last.happened_at)) {
    return { gate: 'rinsed', state: 'ok', reason: 'Rinsed since.' };
  }
  return { ...open, reason: 'Nobody wrote down a rinse since its last fill.' };
}

/** By the log, this phone's own lines in it; what the server knows of sulphite is heard where the log is silent. */
function sulphite({ log, barrel }: GateFacts): Gate {
  const lines = (log ?? []).filter(stands);
  const at = lines.findIndex(
    (line) => hasTask(line, 'sulphiting') || (line.collection === 'holds' && line.body?.is_solution === true),
  );
  if (log === null) {
    return {
      gate: 'sulphite',
      state: 'open',
      reason: 'The log is still being read.',
      accept: 'None was used',
    };
  }
  const known = at < 0 ? barrel.sulphite : null;
  if (at < 0 && !known && barrel.register.adopted && barrel.held_before.length === 0) {
    // A strip that was read without a solution before it still says how it stands.
    const read = lines.find(isStrip);
    if (!read) return { gate: 'sulphite', state: 'amber', reason: SULPHITE_UNKNOWN };
    const so2_mg_l = Number(read.body?.so2_mg_l);
    return so2_mg_l < SULPHITE_GONE_MG_L ? gone(so2_mg_l) : unclear(so2_mg_l);
  }
  if (at < 0 && !known) return { gate: 'sulphite', state: 'ok', reason: NO_SULPHITE };
  const since = known
    ? lines.filter((line) => isAfter(line, known.strip_at ?? known.made_at))
    : lines.slice(0, at);
  // Whichever is later says: a strip, or a fill that went through this gate already.
  const last = since.find((line) => isStrip(line) || wentThrough(line));
  if (!last && known) return known.is_clear ? gone(known.strip_mg_l) : unclear(known.strip_mg_l);
  if (!last) return unclear(null);
  if (last.collection === 'fills') return { gate: 'sulphite', state: 'ok', reason: NO_SULPHITE };
  const read = Number(last.body?.so2_mg_l);
  return read < SULPHITE_GONE_MG_L ? gone(read) : unclear(read);
}

const SULPHITE_UNKNOWN =
  'Adopted as found: whether sulphite was in it nobody here knows. In doubt strip the water that soaked it.';
const NO_SULPHITE = 'No sulphite since its last fill.';
const gone = (read: number | null): Gate => ({
  gate: 'sulphite',
  state: 'ok',
  reason: `The strip showed ${read} mg/L: gone.`,
});
const isAfter = (line: LogLine, at: string): boolean => Date.parse(line.happened_at) > Date.parse(at);
const isStrip = (line: LogLine): boolean =>
  line.collection === 'readings' && line.body?.kind === 'so2_strip' && typeof line.body.so2_mg_l === 'number';

/** Only a fill whose gate was left open says that nobody looked. */
function wentThrough(line: LogLine): boolean {
  if (line.collection !== 'fills') return false;
  const gates = Array.isArray(line.body?.gates) ? (line.body.gates as Record<string, unknown>[]) : [];
  return gates.every(
    (gate) => gate.gate !== 'sulphite' || gate.ok === true || gate.accepted_by_choice === true,
  );
}

function unclear(strip_mg_l: number | null): Gate {
  const found =
    strip_mg_l === null ? 'Sulphite was used, and no strip since.' : `The strip showed ${strip_mg_l} mg/L.`;
  return {
    gate: 'sulphite',
    state: 'open',
    reason: `${found} It can harm people with asthma. Rinse three times and soak for a day.`,
    accept: `A strip shows under ${SULPHITE_GONE_MG_L} mg/L now`,
  };
}

function mixGate({ barrel, mix, draft, vessels = [] }: GateFacts): Gate {
  const stops = mix.guards.filter((guard) => guard.level === 'stop');
  const loud = mix.guards.find((guard) => guard.level === 'strong_warning');
  if (stops.some((guard) => guard.code.startsWith('never_in_wood'))) {
    return { gate: 'mix', state: 'shut', reason: stops.map((guard) => guard.reason).join(' ') };
  }
  if (stops.length > 0) {
    const reason = stops.map((guard) => guard.reason).join(' ');
    return draft.reason.trim()
      ? { gate: 'mix', state: 'open', reason: `${reason} Because: ${draft.reason}`, accept: 'I pour it' }
      : { gate: 'mix', state: 'shut', reason: `${reason} Go back to the mix for why not.` };
  }
  if (vessels.length > 0) {
    const reason = vessels.map(({ words }) => words).join(' ');
    if (vessels.some(({ is_final }) => is_final)) {
      return { gate: 'mix', state: 'shut', reason: `${reason} Go back to the mix for its amounts.` };
    }
    return { gate: 'mix', state: 'open', reason, accept: 'It was in there all the same' };
  }
  if (mix.over_l > OVER_L) {
    const goesIn_l = goesInL(mix, draft, barrel);
    const isAll = goesIn_l === mix.in_barrel_l;
    return {
      gate: 'mix',
      state: 'open',
      reason: `${amountWords(mix.over_l, 'L')} more than the barrel ${isAll ? 'is said to hold' : 'holds'}.`,
      accept: isAll
        ? 'All of it went in'
        : `It is filled to ${amountWords(goesIn_l, 'L')}; the rest stays in glass`,
    };
  }
  if (loud) return { gate: 'mix', state: 'open', reason: loud.reason, accept: 'I keep it cool and full' };
  return {
    gate: 'mix',
    state: 'ok',
    reason: 'Strong enough to keep, and nothing in it that harms the wood.',
  };
}

function allergens({ barrel, mix, avoided, draft }: GateFacts): Gate {
  const inMix = mix.allergens;
  const inWood = barrel.allergens.filter((name) => !(inMix as string[]).includes(name));
  const all = [...new Set<string>([...inMix, ...barrel.allergens])];
  const parts = [
    inMix.length > 0 ? `The mix holds ${listed(inMix.map(allergenWord))}: it marks the barrel for life.` : '',
    inWood.length > 0 ? `The wood has held ${listed(inWood.map(allergenWord))}.` : '',
    mix.unread.length > 0 ? `Nobody has read the label of ${listed(mix.unread)}.` : '',
  ].filter(Boolean);
  const hurt = avoided.flatMap(({ name, allergens: no }) => {
    const shared = no.filter((one) => all.includes(one));
    return shared.length > 0 ? [`${name} avoids ${listed(shared.map(allergenWord))}.`] : [];
  });
  if (parts.length === 0) return { gate: 'allergens', state: 'ok', reason: 'No allergen is known.' };
  return {
    gate: 'allergens',
    state: 'open',
    reason: [...hurt, ...parts].join(' '),
    accept:
      draft.parts.length > 0 && all.length > 0
        ? 'Its sharers know and accept it'
        : 'Its sharers accept not knowing',
  };
}

function wood({ barrel, draft }: GateFacts): Gate {
  if (barrel.wood_spent) {
    return { gate: 'wood', state: 'open', reason: 'Its wood is spent: expect no oak.', accept: 'We know' };
  }
  const left = barrel.fills_left[draft.spirit as Spirit];
  const [low = 1, high = 1] = left ?? [];
  if (high < 1) {
    const reason = 'Its wood has less than one whole fill of this kind left.';
    return { gate: 'wood', state: 'open', reason, accept: 'We know' };
  }
  const isUsed =
    barrel.held_before.length > 0 ||
    barrel.wood_used.high > 0 ||
    barrel.timeline.some((stay) => stay.kind === 'fill');
  if (!isUsed)
    return { gate: 'wood', state: 'amber', reason: 'Never filled: its oak is strong. Taste every week.' };
  if (!left)
    return {
      gate: 'wood',
      state: 'amber',
      reason: 'Filled before; how much oak is left is not known here. Taste it early.',
    };
  const range =
    Math.floor(low) === Math.ceil(high) ? `${Math.ceil(high)}` : `${Math.floor(low)} to ${Math.ceil(high)}`;
  return { gate: 'wood', state: 'ok', reason: `Wood for ${range} more fills of this kind.` };
}

/** Questions of law never stand in the way: we do not know the law where you are. They stay in sight till answered. */
function law({ law: answers }: GateFacts): Gate[] {
  const open = LAW.filter(({ key }) => lawAnswer(answers, key) === null);
  if (open.length === 0)
    return [{ gate: 'law', state: 'ok', reason: 'The club has answered what it asked.' }];
  return [
    {
      gate: 'law',
      state: 'amber',
      reason: `${open.map(({ question }) => question).join(' ')} Local law decides; ask first.`,
    },
  ];
}

export const GATE_NAMES: Record<FillGate, string> = {
  tight: 'Tight',
  rinsed: 'Rinsed',
  sulphite: 'Sulphite gone',
  quarantine: 'Quarantine',
  mix: 'The mix',
  allergens: 'Allergens',
  wood: 'The wood',
  law: 'The law',
};
