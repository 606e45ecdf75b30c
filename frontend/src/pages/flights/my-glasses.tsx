import { scoreText } from '~/components/rod/words.ts';
import { Screen } from '~/components/screen/index.tsx';
import { Section } from '~/components/section/index.tsx';
import { Sill } from '~/components/sill/index.tsx';
import { StaveList } from '~/components/stave-list/index.tsx';
import { StaveRow } from '~/components/stave-row/index.tsx';
import { Say, Title } from '~/components/words/index.tsx';
import type { ShownFlight } from '~/outbox/flights.ts';
import { drinkG } from '../parts/drink.ts';
import { myEvening } from '../parts/evening.ts';
import { Fresh } from '../parts/fresh.tsx';
import { myId, nameOf } from '../parts/me.ts';
import { drinksWords, SHARP_UNTIL } from '../words/evening.ts';
import { cautionWords, codesLeft, codesOf, ordinal, progressWords } from '../words/flights.ts';
import { capital } from '../words/numbers.ts';

/** A taster's glasses by their numbers, in the order that is theirs. */
export function MyGlasses({ flight }: { flight: ShownFlight }) {
  const me = myId();
  const codes = codesOf(flight, me);
  const left = codesLeft(flight, me);
  const next = left[0];
  const evening = myEvening();
  // What was had tonight before this flight tires the palate for it.
  const had = Math.max(0, evening.length - flight.mine.length);
  const drinks = drinksWords(evening, drinkG());
  const given = new Map(flight.mine.map((score) => [score.code, score.liking]));
  return (
    <Screen
      title="Blind flight"
      glow="right"
      top={{ back: { href: '/flights', label: 'Flights' }, right: <Fresh /> }}
      sill={
        <Sill
          left={{ label: 'Leave', href: '/' }}
          act={
            next
              ? { label: `Taste ${next}`, href: `/flights/${flight.id}/${next}` }
              : { label: 'Done', href: '/' }
          }
        />
      }
    >
      <Section>
        <Title>Poured by {nameOf(flight.pourer)}</Title>
        {next ? (
          cautionWords(flight, drinkG(), had).map((words) => (
            <p key={words} class="note ink gap2">
              {words}
            </p>
          ))
        ) : (
          <>
            <Say>Yours are in.</Say>
            <p class="note gap2">
              The names come when all have finished. {progressWords(flight, me, nameOf)}
            </p>
          </>
        )}
        {drinks && <p class="note gap2">{drinks}</p>}
      </Section>
      <div class="gap4">
        <StaveList label="Your glasses, in your order">
          {codes.map((code, index) => {
            const liking = given.get(code);
            return (
              <StaveRow
                key={code}
                heading="h2"
                title={<span class="flight__code">{code}</span>}
                href={`/flights/${flight.id}/${code}`}
                {...(liking === undefined ? {} : { tone: 'done' as const })}
                aside={liking === undefined ? undefined : <span class="ok tick">{scoreText(liking)}</span>}
              >
                {capital(ordinal(index + 1))}
                {had + index >= SHARP_UNTIL ? '; the palate tires' : ''}
                {code === next && index > 0 ? '. Two minutes, water, a cracker first.' : ''}
              </StaveRow>
            );
          })}
        </StaveList>
      </div>
    </Screen>
  );
}
