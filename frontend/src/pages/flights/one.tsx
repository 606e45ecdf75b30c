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
import { progressWords } from '../words/flights.ts';
import { ClosePlank } from './close-plank.tsx';
import { MyGlasses } from './my-glasses.tsx';
import { NamesTold } from './names-told.tsx';
import { PourList } from './pour-list.tsx';

/** One blind flight: the glasses of its taster, the list of its pourer, and for all the names at the end. */
export function OneFlight() {
  const { params } = useRoute();
  const flight = flightBy(params.id ?? '');
  if (!flight) return <Missing what="This flight is not on this phone; it is poured for others." />;
  if (flight.is_here) return <OnItsWay />;
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
