import { readFlights } from '~/store/club.ts';
import { late } from './late.ts';

const FlightList = late(() => import('./flight-list.tsx'));

/** The blind flights that wait for their reader; fetched only where one is not open yet. */
export function FlightsWait() {
  return readFlights.value.some((one) => one.opened_at === null) ? <FlightList /> : null;
}
