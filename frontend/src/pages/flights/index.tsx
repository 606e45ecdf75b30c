import { useRoute } from 'preact-iso';
import { FlightGlass } from './glass.tsx';
import { FlightList } from './list.tsx';
import { OneFlight } from './one.tsx';

/** All of a flight's screens in one piece, so that a phone that has read it can go through it without signal. */
export default function FlightsPage() {
  const { id, code } = useRoute().params;
  if (code) return <FlightGlass />;
  return id ? <OneFlight /> : <FlightList />;
}
