import './style.css';
import { useRoute } from 'preact-iso';
import { Screen } from '~/components/screen/index.tsx';
import { Section } from '~/components/section/index.tsx';
import { Sill } from '~/components/sill/index.tsx';
import { Title } from '~/components/words/index.tsx';
import { flightBy, type ShownFlight } from '~/outbox/flights.ts';
import { Fresh } from '../parts/fresh.tsx';
import { myId, nameOf } from '../parts/me.ts';
import { Missing } from '../parts/missing.tsx';
import { offWords, progressWords, TONIGHT } from '../words/flights.ts';
import { inWords } from '../words/numbers.ts';
import { ClosePlank } from './close-plank.tsx';
import { MyGlasses } from './my-glasses.tsx';
import { NamesTold } from './names-told.tsx';
import { PourList } from './pour-list.tsx';
import { Tonight } from './tonight.tsx';

/** One blind flight: the glasses of its taster, the list of its pourer, and for all the names at the end. */
export function OneFlight() {
  const { params } = useRoute();
  if (params.id === TONIGHT) return <Tonight />;
  const flight = flightBy(params.id ?? '');
  if (!flight) return <Missing what="This flight is not on this phone; it is poured for others." />;
  if (flight.called_off_at !== null) return <CalledOff flight={flight} />;
  // An older version of the app left the numbers to the server.
  if (flight.is_here && flight.key === null) return <OnItsWay />;
  if (flight.opened_at !== null) return <NamesTold flight={flight} />;
  if (flight.pourer === myId()) return <PourList flight={flight} />;
  if (flight.tasters.some((line) => line.person === myId())) return <MyGlasses flight={flight} />;
  return <Watched flight={flight} />;
}

/** Begun without signal: the server has made no numbers yet. */
function OnItsWay() {
  return (
    <Screen
      title="Blind flight"
      top={{ back: { href: '/flights', label: 'Flights' }, right: <Fresh /> }}
      sill={<Sill left={{ label: 'Not yet sent', href: '/not-yet-sent' }} />}
    >
      <Section>
        <Title>Kept on this phone</Title>
        <p class="gap3">
          The numbers come as soon as there is signal. Pour nothing before you see them here.
        </p>
      </Section>
    </Screen>
  );
}

/** No names, no scores: why, and what becomes of what was poured. */
function CalledOff({ flight }: { flight: ShownFlight }) {
  return (
    <Screen
      title="Called off"
      top={{ back: { href: '/flights', label: 'Flights' }, right: <Fresh /> }}
      sill={<Sill left={{ label: 'Flights', href: '/flights' }} act={{ label: 'Done', href: '/' }} />}
    >
      <Section>
        <Title>Called off</Title>
        <p class="gap3">{offWords(flight, myId(), nameOf)}</p>
        <p class="note gap2">
          {flight.mine.length > 0
            ? `What you gave ${flight.mine.length === 1 ? 'a glass' : `${inWords(flight.mine.length)} glasses`} is kept for you and counts for nothing.`
            : 'No score of it counts.'}{' '}
          Whatever had been poured is off the barrels’ stock.
        </p>
      </Section>
    </Screen>
  );
}

/** What a keeper sees who neither pours nor tastes. */
function Watched({ flight }: { flight: ShownFlight }) {
  return (
    <Screen
      title="Blind flight"
      top={{ back: { href: '/flights', label: 'Flights' }, right: <Fresh /> }}
      sill={<Sill left={{ label: 'Flights', href: '/flights' }} />}
    >
      <Section>
        <Title>{nameOf(flight.pourer)} pours</Title>
        <p class="gap3">{progressWords(flight, myId(), nameOf)}</p>
        <ClosePlank flight={flight} />
      </Section>
    </Screen>
  );
}
