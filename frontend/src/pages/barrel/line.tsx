import { WaterLine } from '~/components/water-line/index.tsx';
import { Brand, Mark, Note, Verdict } from '~/components/words/index.tsx';
import type { ShownBarrel } from '~/outbox/overlay.ts';
import { moment } from '../parts/clock.ts';
import { myId, nameOf } from '../parts/me.ts';
import {
  insideNow,
  isInSolution,
  isOutline,
  pictureOf,
  stateSentence,
  volumeWords,
  woodWords,
} from '../words/barrel.ts';
import { lateLines } from '../words/care.ts';
import { goneWords, nextBungWords, strengthWords, waterDepthWords } from '../words/inside.ts';
import { litres } from '../words/numbers.ts';
import { daysSince, nearDayOf } from '../words/time.ts';
import { troubleNote, troubleVerdict } from '../words/trouble.ts';

/** A narrow column that still holds the longest word of a name: capitals, tracked, about 1.15 rem each. */
export function nameColumn(name: string): string {
  const longest = Math.max(...name.split(/[\s-]+/).map((word) => word.length));
  return `min(${Math.max(7.25, longest * 1.16).toFixed(2)}rem, 60vw)`;
}

/** The barrel at the screen's edge: a fill at the left, water at the right, its level running out to the words. */
export function BarrelLine({ barrel }: { barrel: ShownBarrel }) {
  const now = moment();
  const { contents } = barrel;
  const isWater = contents !== null && contents.kind !== 'fill';
  const picture = pictureOf(barrel, now.now_ms, { me: myId(), nameOf });
  return isWater ? (
    <WaterLine
      barrel={picture}
      side="right"
      radius={150}
      above={<AboveWater barrel={barrel} />}
      below={<BelowWater barrel={barrel} />}
    />
  ) : (
    <WaterLine
      barrel={picture}
      side="left"
      radius={150}
      above={<AboveFill barrel={barrel} />}
      below={<BelowFill barrel={barrel} />}
    />
  );
}

function Name({ barrel }: { barrel: ShownBarrel }) {
  const isRed = barrel.troubles.length > 0 && barrel.state !== 'retired';
  return (
    <Brand as="h1" big tone={isRed ? 'red' : undefined}>
      {barrel.name}
    </Brand>
  );
}

/** On the water line: its name, and what is gone. */
function AboveFill({ barrel }: { barrel: ShownBarrel }) {
  const now = moment();
  const inside = insideNow(barrel, now.now_ms);
  const gone = barrel.contents && inside ? goneWords(barrel.contents, inside) : null;
  return (
    <>
      <Name barrel={barrel} />
      {gone && <Note>{gone}</Note>}
      {!barrel.contents && <Note>{stateSentence(barrel, now)}</Note>}
    </>
  );
}

/** Under it: what is there, and what the wood still can. */
function BelowFill({ barrel }: { barrel: ShownBarrel }) {
  const now = moment();
  const { contents } = barrel;
  const inside = insideNow(barrel, now.now_ms);
  const strength = contents && inside ? strengthWords(contents, inside) : null;
  return (
    <>
      {contents && inside && <p class="barrel__volume reck">{volumeWords(inside)}</p>}
      {strength && <Note>{strength}</Note>}
      {contents && isOutline(contents) && <Note>Mix and tastings are its sharers’.</Note>}
      <Note>{woodWords(barrel)}</Note>
      {barrel.bung_clock !== 12 && <Note>bung at {barrel.bung_clock} o’clock</Note>}
    </>
  );
}

/** Over the water: how long it has been there. */
function AboveWater({ barrel }: { barrel: ShownBarrel }) {
  const now = moment();
  if (barrel.contents?.kind !== 'hold' || !barrel.water) return <Name barrel={barrel} />;
  const days = daysSince(Date.parse(barrel.water.changed_at), now);
  const isLate = lateLines(barrel.care, now).some((line) => line.task === 'water_change');
  return (
    <>
      <Name barrel={barrel} />
      <Mark tone={isLate ? 'red' : undefined}>
        {days <= 0 ? 'Today' : days === 1 ? '1 day' : `${days} days`}
      </Mark>
      <p class="lead">
        {days <= 0 ? '' : 'since '}
        {isInSolution(barrel) ? 'the solution was made' : 'the water was changed'}
      </p>
    </>
  );
}

function BelowWater({ barrel }: { barrel: ShownBarrel }) {
  const now = moment();
  const inside = insideNow(barrel, now.now_ms);
  const isHold = barrel.contents?.kind === 'hold';
  const trouble = barrel.troubles[0];
  const days = barrel.contents ? daysSince(Date.parse(barrel.contents.started_at), now) : 0;
  return (
    <>
      {inside && <p class="barrel__volume reck">{volumeWords(inside)}</p>}
      {isHold && inside ? (
        <Note>{waterDepthWords(barrel, inside)}</Note>
      ) : (
        <Note>
          of {litres(barrel.capacity_l)}.{' '}
          {days === 0 ? 'Full of water since today.' : `Full of water, day ${days + 1}.`}
        </Note>
      )}
      {isHold && <Note>{nextBungWords(barrel)}</Note>}
      {isHold && <Note>{woodWords(barrel)}</Note>}
      {!isHold && trouble && (
        <>
          <Verdict>{troubleVerdict(trouble.kind)}</Verdict>
          <Note>
            Since {nearDayOf(Date.parse(trouble.since), now)}. {troubleNote(trouble)}
          </Note>
        </>
      )}
    </>
  );
}
