import { Screen } from '~/components/screen/index.tsx';
import { Section } from '~/components/section/index.tsx';
import { Sill } from '~/components/sill/index.tsx';
import { StaveList } from '~/components/stave-list/index.tsx';
import { StaveRow } from '~/components/stave-row/index.tsx';
import { Brand, Say, Title } from '~/components/words/index.tsx';
import type { ShownFlight } from '~/outbox/flights.ts';
import { barrelBy } from '~/outbox/overlay.ts';
import { drinkG } from '../parts/drink.ts';
import { Fresh } from '../parts/fresh.tsx';
import { myId, nameOf } from '../parts/me.ts';
import { cautionWords, progressWords } from '../words/flights.ts';
import { capital, inWords, unit } from '../words/numbers.ts';
import { ClosePlank } from './close-plank.tsx';

/** What the pourer alone may see: which number is which barrel, and who is served in which order. */
export function PourList({ flight }: { flight: ShownFlight }) {
  return (
    <Screen
      title="Pour list"
      top={{ back: { href: '/flights', label: 'Flights' }, right: <Fresh /> }}
      sill={
        <Sill left={{ label: 'Flights', href: '/flights' }} right={{ label: 'Barrels', href: '/barrels' }} />
      }
    >
      <Section>
        <Title>Pour list</Title>
        <p class="note gap2">
          Write each number on {inWords(flight.tasters.length)}{' '}
          {flight.tasters.length === 1 ? 'glass' : 'glasses'}, {unit(flight.sample_ml, 'mL')} in each. Keep
          this screen to yourself until the names are told.
        </p>
        {flight.is_here && (
          <p class="note ink gap2">
            Kept on this phone. A taster whose phone has no signal opens Blind flights and types the number on
            the glass.
          </p>
        )}
        {cautionWords(flight, drinkG()).map((words) => (
          <p key={words} class="note ink gap2">
            {words}
          </p>
        ))}
      </Section>
      <div class="gap4">
        <StaveList label="Numbers and barrels">
          {(flight.key ?? []).map(({ code, barrel }) => (
            <StaveRow
              key={code}
              heading="h2"
              title={
                <span class="flight__pour">
                  <span class="flight__code">{code}</span>
                  <Brand>{barrelBy(barrel)?.name ?? 'a barrel'}</Brand>
                </span>
              }
            />
          ))}
        </StaveList>
      </div>
      <Section class="gap6">
        <h2 class="lead b">Each has an order of their own</h2>
        <ul class="gap3 stack">
          {flight.tasters.map((line) => (
            <li key={line.person}>
              {nameOf(line.person)}: <span class="flight__order">{(line.codes ?? []).join(' · ')}</span>
            </li>
          ))}
        </ul>
        <div class="gap5">
          <Say>{capital(progressWords(flight, myId(), nameOf))}</Say>
          <p class="note gap2">
            When all have finished the names come out by themselves, each score goes to its barrel, and what
            was poured is taken off its stock.
          </p>
        </div>
        <ClosePlank flight={flight} />
      </Section>
    </Screen>
  );
}
