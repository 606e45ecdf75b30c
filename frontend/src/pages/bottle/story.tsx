import { Section } from '~/components/section/index.tsx';
import { StaveList } from '~/components/stave-list/index.tsx';
import { StaveRow } from '~/components/stave-row/index.tsx';
import { Note } from '~/components/words/index.tsx';
import { barrelBy, type LogLine, logOf } from '~/outbox/overlay.ts';
import type { ShownBottle } from '~/outbox/overlay-glass.ts';
import { dayIn, daysBetween } from '~/science/dates.ts';
import { moment } from '../parts/clock.ts';
import { nameOf } from '../parts/me.ts';
import { logWhat } from '../words/log.ts';
import { counted } from '../words/numbers.ts';
import { nearDayOf } from '../words/time.ts';

const MILESTONES = new Set(['fills', 'pulls', 'decants', 'bottlings']);

/** What happened to it from the pour to the cork, from the log of its barrel; a reader sees what they may see. */
export function Story({ bottle }: { bottle: ShownBottle }) {
  const now = moment();
  const barrel = barrelBy(bottle.barrel ?? '');
  const log = bottle.barrel ? (logOf(bottle.barrel).value ?? []) : [];
  const lines = log.filter((line) => isIts(line, bottle)).reverse();
  const tastes = log.filter(
    (line) => line.collection === 'tastings' && line.is_head && line.body?.fill === bottle.fill,
  );
  const fill = lines.find((line) => line.collection === 'fills');
  const decant = lines.find((line) => line.collection === 'decants');
  if (!barrel && lines.length === 0) return null;
  return (
    <>
      <Section class="gap6">
        <h2 class="lead b">Its story</h2>
        {barrel && fill && decant && (
          <p class="gap2">
            {counted(weeks(fill, decant, now.timezone), 'week', 'weeks')} in {barrel.name}
            {barrel.wood ? `, ${barrel.wood}` : ''}
            {tastes.length > 0 ? `, tasted ${tastes.length === 1 ? 'once' : `${tastes.length} times`}` : ''}.
          </p>
        )}
      </Section>
      <StaveList label="Its story">
        {lines.map((line) => (
          <StaveRow key={line.id} title={logWhat(line, { person: nameOf })}>
            <Note>
              {nearDayOf(Date.parse(line.happened_at), now)}, {nameOf(line.author)}
            </Note>
          </StaveRow>
        ))}
      </StaveList>
    </>
  );
}

function isIts(line: LogLine, bottle: ShownBottle): boolean {
  if (!MILESTONES.has(line.collection) || !line.is_head || line.is_void) return false;
  if (line.collection === 'bottlings') return line.id === bottle.bottling;
  return line.stay === bottle.fill || line.id === bottle.fill || line.id === bottle.vessel;
}

function weeks(fill: LogLine, decant: LogLine, timezone: string): number {
  const days = daysBetween(
    dayIn(timezone, Date.parse(fill.happened_at)),
    dayIn(timezone, Date.parse(decant.happened_at)),
  );
  return Math.max(1, Math.round(days / 7));
}
