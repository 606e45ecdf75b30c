import { Screen } from '~/components/screen/index.tsx';
import { Section } from '~/components/section/index.tsx';
import { Sill } from '~/components/sill/index.tsx';
import { StaveList } from '~/components/stave-list/index.tsx';
import { StaveRow } from '~/components/stave-row/index.tsx';
import { Title } from '~/components/words/index.tsx';
import type { ShownFlight } from '~/outbox/flights.ts';
import { barrelBy } from '~/outbox/overlay.ts';
import { moment } from '../parts/clock.ts';
import { Fresh } from '../parts/fresh.tsx';
import { myId, nameOf } from '../parts/me.ts';
import { named, ownWords, scoresWords, twinWords } from '../words/flights.ts';
import { nearDayOf } from '../words/time.ts';

/** The names, with one's own score beside the others'. */
export function NamesTold({ flight }: { flight: ShownFlight }) {
  const now = moment();
  const me = myId();
  const by = flight.opened_by === 'closed' ? 'told before all had finished' : 'told when all had finished';
  const own = ownWords(flight);
  return (
    <Screen
      title="The names"
      glow="right"
      top={{ back: { href: '/flights', label: 'Flights' }, right: <Fresh /> }}
      sill={<Sill left={{ label: 'Flights', href: '/flights' }} act={{ label: 'Done', href: '/' }} />}
    >
      <Section>
        <Title>The names</Title>
        <p class="note gap2">
          Poured {nearDayOf(Date.parse(flight.poured_at), now)} by{' '}
          {flight.pourer === me ? 'you' : nameOf(flight.pourer)}, {by}. The scores stand at their barrels now.
        </p>
      </Section>
      <div class="gap4">
        <StaveList label="The names">
          {named(flight, me).map((one) => {
            const twins = twinWords(one);
            return (
              <StaveRow
                key={one.codes.join()}
                name={barrelBy(one.barrel)?.name ?? 'A barrel'}
                href={`/barrels/${one.barrel}`}
                aside={<span class="flight__codes">{one.codes.join(' ')}</span>}
              >
                <p class="ink">{scoresWords(one, nameOf)}</p>
                {twins && <p>{twins}</p>}
              </StaveRow>
            );
          })}
        </StaveList>
      </div>
      {own.length > 0 && (
        <Section class="gap6">
          <h2 class="lead b">For you alone</h2>
          {own.map((words) => (
            <p key={words} class="note ink gap2">
              {words}
            </p>
          ))}
          <p class="note gap2">
            From all the flights you tasted in. Nobody else is told this, nor the keeper.
          </p>
        </Section>
      )}
    </Screen>
  );
}
