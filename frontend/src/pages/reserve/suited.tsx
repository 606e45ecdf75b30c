import type { Suggestion } from '~/api/types.ts';
import { radiusFor } from '~/components/draw/picture.ts';
import { EndView } from '~/components/end-view/index.tsx';
import { ProudRow, StaveRow } from '~/components/stave-row/index.tsx';
import { barrelBy, reservationsOf } from '~/outbox/overlay.ts';
import { nowMs } from '../parts/clock.ts';
import { TimeLine } from '../parts/time-line.tsx';
import { pictureOf, woodWords } from '../words/barrel.ts';
import { capital } from '../words/numbers.ts';
import { datesWords, isOpen } from '../words/reserve.ts';

const DAY_MS = 86_400_000;

export interface SuitedProps {
  suggestion: Suggestion;
  isBest: boolean;
  isChosen: boolean;
  onChoose: () => void;
}

/** One barrel that suits, with its reasons; the chosen one stands proud and shows its time-line. */
export function Suited({ suggestion, isBest, isChosen, onChoose }: SuitedProps) {
  const barrel = barrelBy(suggestion.barrel);
  const name = barrel?.name ?? 'A barrel';
  const picture = barrel ? (
    <EndView barrel={pictureOf(barrel, nowMs.value)} radius={radiusFor(barrel.capacity_l)} cut="left" />
  ) : undefined;
  const shared = { picture, name, heading: 'h2' as const, onPress: onChoose };
  const more = <>{barrel && `${capital(woodWords(barrel))}.`}</>;
  if (!isChosen) {
    return (
      <StaveRow {...shared}>
        {suggestion.reasons.join(' ')} {more}
      </StaveRow>
    );
  }
  return (
    <ProudRow {...shared} tone="lamp">
      {isBest && <span class="due suited__best">suits best</span>}
      <p class="suited__reasons reck">{suggestion.reasons.join(' ')}</p>
      <p class="note">{more}</p>
      {barrel && (
        <div class="gap4">
          <TimeLine
            timeline={barrel.timeline}
            booked={[
              ...reservationsOf(barrel.id).filter(isOpen),
              {
                starts_on: suggestion.starts_on,
                ends_on: suggestion.ends_on,
                state: 'pencilled',
                fill_name: 'your fill',
              } as never,
            ]}
            from={nowMs.value - 21 * DAY_MS}
            to={Math.max(nowMs.value + 120 * DAY_MS, Date.parse(suggestion.ends_on) + 21 * DAY_MS)}
            height={26}
          />
          <div class="row note">
            <span class="ink">{datesWords(suggestion.starts_on, suggestion.ends_on)}</span>
            <span>then free</span>
          </div>
        </div>
      )}
    </ProudRow>
  );
}
