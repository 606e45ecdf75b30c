import { Notice } from '~/components/notice/index.tsx';
import { Press } from '~/components/press/index.tsx';
import { flights } from '~/outbox/flights.ts';
import { waitingWords } from '../words/flights.ts';
import { myId, nameOf } from './me.ts';

/** One line for each flight in which somebody waits for this reader. */
export function flightNotices() {
  const me = myId();
  return flights.value
    .map((flight) => ({ id: flight.id, words: waitingWords(flight, me, nameOf) }))
    .filter((one) => one.words !== null)
    .map((one) => (
      <Notice key={one.id} act={<Press href={`/flights/${one.id}`}>The glasses</Press>}>
        {one.words}
      </Notice>
    ));
}
