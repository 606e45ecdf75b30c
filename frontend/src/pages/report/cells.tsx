import type { ReportLine } from '~/api/types.ts';
import { DipRod } from '~/components/dip-rod/index.tsx';
import { rangeText } from '~/components/range/format.ts';
import { WoodPlank } from '~/components/wood-plank/index.tsx';
import { barrelBy, reservations, reservationsOf } from '~/outbox/overlay.ts';
import { TimeLine } from '../parts/time-line.tsx';
import { STATES } from '../words/barrel.ts';
import { capital } from '../words/numbers.ts';
import { usedWords } from '../words/report.ts';
import { isOpen, wantedTwice } from '../words/reserve.ts';

/** A range as the report's cells write it. */
export function band(range: { low: number; high: number } | null, unit = ''): string {
  return range ? rangeText({ low: range.low, high: range.high, unit, join: 'dash' }) : '';
}

/** What it holds, in a word or three. */
export function holdsWords(line: ReportLine): string {
  if (line.state === 'filled' && line.holds_now) return capital(line.holds_now);
  if (line.state === 'held') return 'Water';
  if (line.state === 'curing') return 'Water, curing';
  return STATES[line.state];
}

export function Rod({ line }: { line: ReportLine }) {
  const level = line.level ?? line.water?.level ?? null;
  const isWater = line.state === 'held' || line.state === 'curing' || line.state === 'ready';
  const contents = !level
    ? 'empty'
    : isWater
      ? 'water'
      : line.spirit === 'fortified_wine'
        ? 'pale'
        : 'spirit';
  return <DipRod contents={contents} {...(level ? { levelLow: level.low, levelHigh: level.high } : {})} />;
}

export function Plank({ line }: { line: ReportLine }) {
  return (
    <WoodPlank
      usedLow={line.wood_used.low}
      usedHigh={line.wood_used.high}
      label={`wood: ${usedWords(line)};`}
    />
  );
}

/** Whether two people want this barrel for the same days. */
export function isContested(barrel: string): boolean {
  return wantedTwice(reservations.value).some((clash) => clash.barrel === barrel);
}

const FOURTEEN_MONTHS_MS = 426 * 86_400_000;

/** What the barrel held over fourteen months, without words: the row says them. */
export function Line({ line, now_ms, height = 12 }: { line: ReportLine; now_ms: number; height?: number }) {
  const booked = barrelBy(line.id) ? reservationsOf(line.id).filter(isOpen) : [];
  const from = now_ms - FOURTEEN_MONTHS_MS;
  const name = `${line.name}: ${line.timeline.length === 0 ? 'nothing yet' : `${line.timeline.length} periods`} in fourteen months`;
  return (
    <TimeLine timeline={line.timeline} booked={booked} from={from} to={now_ms} height={height} label={name} />
  );
}
