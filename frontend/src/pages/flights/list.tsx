import { useState } from 'preact/hooks';
import { Empty } from '~/components/empty/index.tsx';
import { Screen } from '~/components/screen/index.tsx';
import { Section } from '~/components/section/index.tsx';
import { Sill } from '~/components/sill/index.tsx';
import { StaveList } from '~/components/stave-list/index.tsx';
import { StaveRow } from '~/components/stave-row/index.tsx';
import { Note, Title } from '~/components/words/index.tsx';
import { flights, type ShownFlight } from '~/outbox/flights.ts';
import { moment } from '../parts/clock.ts';
import { Fresh } from '../parts/fresh.tsx';
import { myId, nameOf } from '../parts/me.ts';
import { codesOf, isOnTable, offWords, progressWords, TONIGHT, waitingWords } from '../words/flights.ts';
import { capital, inWords } from '../words/numbers.ts';
import { nearDayOf } from '../words/time.ts';
import { BeginSheet } from './begin-sheet.tsx';

/** The blind flights one pours or tastes in, and the way to begin one. */
export function FlightList() {
  const [isBeginning, setBeginning] = useState(false);
  const all = flights.value;
  const open = all.filter(isOnTable);
  const past = all.filter((one) => !isOnTable(one));
  return (
    <Screen
      title="Blind flights"
      top={{ back: { href: '/', label: 'Back' }, right: <Fresh /> }}
      sill={
        <Sill
          left={{ label: 'Barrels', href: '/barrels' }}
          act={{ label: 'Pour one', onPress: () => setBeginning(true) }}
          right={{ label: 'Scan', href: '/scan' }}
        />
      }
    >
      <Section>
        <Title>Blind flights</Title>
        <p class="note gap2">
          One pours, the others taste numbers. The names, and what each gave, come out when all have finished.
        </p>
        {all.length === 0 && (
          <Empty>
            <p>None yet. Pour two barrels or more for somebody: without the names, the nose decides.</p>
          </Empty>
        )}
        <p class="gap4">
          <a class="link" href={`/flights/${TONIGHT}`}>
            A numbered glass in your hand, and no flight here?
          </a>
        </p>
      </Section>
      {open.length > 0 && <List label="On the table" rows={open} />}
      {past.length > 0 && (
        <>
          <Section class="gap6">
            <h2 class="lead b">Over</h2>
          </Section>
          <List label="Over" rows={past.slice(0, 30)} />
        </>
      )}
      {isBeginning && <BeginSheet onClose={() => setBeginning(false)} />}
    </Screen>
  );
}

function List({ label, rows }: { label: string; rows: readonly ShownFlight[] }) {
  const now = moment();
  const me = myId();
  return (
    <div class="gap4">
      <StaveList label={label}>
        {rows.map((flight) => {
          const day = nearDayOf(Date.parse(flight.poured_at), now);
          const whose = flight.pourer === me ? 'poured by you' : `poured by ${nameOf(flight.pourer)}`;
          return (
            <StaveRow
              key={flight.id}
              href={`/flights/${flight.id}`}
              title={`${capital(day)}, ${whose}`}
              aside={flight.is_here ? <Note>on this phone</Note> : undefined}
            >
              {lineOf(flight, me)}
            </StaveRow>
          );
        })}
      </StaveList>
    </div>
  );
}

function lineOf(flight: ShownFlight, me: string): string {
  if (flight.called_off_at !== null) return offWords(flight, me, nameOf);
  if (flight.opened_at === null) return waitingWords(flight, me, nameOf) ?? progressWords(flight, me, nameOf);
  const glasses = `${capital(inWords(flight.glasses))} glasses`;
  return codesOf(flight, me).length > 0 && flight.mine.length > 0
    ? `${glasses}; you scored ${inWords(flight.mine.length)}.`
    : `${glasses}.`;
}
