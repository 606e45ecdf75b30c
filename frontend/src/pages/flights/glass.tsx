import { useRoute } from 'preact-iso';
import { Screen } from '~/components/screen/index.tsx';
import { Sill } from '~/components/sill/index.tsx';
import { Title } from '~/components/words/index.tsx';
import { flightBy, flights, type ShownFlight, unreadScores } from '~/outbox/flights.ts';
import { moment } from '../parts/clock.ts';
import { drinkG } from '../parts/drink.ts';
import { myEvening } from '../parts/evening.ts';
import { useGo } from '../parts/go.ts';
import { keep } from '../parts/keep.ts';
import { myId, nameOf } from '../parts/me.ts';
import { Missing, NotAllowed } from '../parts/missing.tsx';
import { SayingForm, useSaying } from '../taste/saying.tsx';
import { drinksWords, tiredPalateWords } from '../words/evening.ts';
import { codesOf, isCode, ordinal, TONIGHT, tableOfCode, tonightSince } from '../words/flights.ts';
import { capital, unit } from '../words/numbers.ts';
import { saidOf } from '../words/taste.ts';
import { today } from '../words/time.ts';

/** One glass of a blind flight: a number, a rod, oak, save. */
export function FlightGlass() {
  const { params } = useRoute();
  const id = params.id ?? '';
  const code = params.code ?? '';
  // A number typed before the flight was read is of that flight once it is here.
  const flight = id === TONIGHT ? tableOfCode(flights.value, code, myId()) : flightBy(id);
  if (!flight && id === TONIGHT && isCode(code)) return <Room key={code} flight={null} code={code} />;
  if (!flight || !codesOf(flight, myId()).includes(code)) {
    return <Missing what="No glass of yours has that number." />;
  }
  if (flight.opened_at !== null) {
    return <NotAllowed title={code} words="The names are known by now. Log it as a taste of its barrel." />;
  }
  if (flight.called_off_at !== null) {
    return <NotAllowed title={code} words="This flight was called off. Its glasses are scored no more." />;
  }
  return <Room key={code} flight={flight} code={code} />;
}

function Room({ flight, code }: { flight: ShownFlight | null; code: string }) {
  const now = moment();
  const go = useGo();
  const table = `/flights/${flight?.id ?? TONIGHT}`;
  const saying = useSaying(`flight:${flight?.id ?? TONIGHT}:${code}`, {
    off_notes: [],
    note: '',
    sample_ml: flight?.sample_ml ?? 0,
  });
  const before = flight
    ? flight.mine.find((score) => score.code === code)
    : unreadScores(tonightSince(now.now_ms)).find((score) => score.code === code);
  const evening = myEvening();
  // A second score of the same glass is no further spirit.
  const tired = tiredPalateWords(evening.filter((sample) => sample.id !== before?.act).length + 1);
  const drinks = drinksWords(evening, drinkG());

  const save = async (): Promise<void> => {
    const said = saidOf(saying.draft);
    if (!said) {
      saying.setProblem('Tap the rod first.');
      return;
    }
    // Unless the flight is here this phone does not know how much was poured; the service does.
    const { sample_ml, ...rest } = said;
    const body = {
      ...(flight ? { flight: flight.id } : {}),
      code,
      tasted_on: today(now),
      ...rest,
      ...(flight || sample_ml > 0 ? { sample_ml } : {}),
    };
    const kept = await saying.keepOnce(() =>
      keep('blind-tastings', flight && before ? { ...body, replaces: before.act } : body),
    );
    if (!kept?.ok) return;
    await saying.clear();
    go(table);
  };

  const pourer = flight ? nameOf(flight.pourer) : 'whoever poured';
  return (
    <Screen
      title={`Glass ${code}`}
      glow="right"
      announce={saying.problem}
      top={{ back: { href: table, label: 'Glasses' }, right: saying.who }}
      sill={
        <Sill
          left={{ label: 'Leave', onPress: () => go(table) }}
          act={{
            label: saying.isBusy ? 'Saving' : 'Save',
            lit: saying.draft.liking !== undefined,
            onPress: () => void save(),
          }}
        />
      }
    >
      <SayingForm
        saying={saying}
        head={
          <>
            <Title>
              <span class="flight__code">{code}</span>
            </Title>
            {flight ? (
              <p class="note gap2">
                {capital(ordinal(codesOf(flight, myId()).indexOf(code) + 1))} of {flight.glasses},{' '}
                {unit(flight.sample_ml, 'mL')}. Poured by {pourer}.
              </p>
            ) : (
              <p class="note gap2">
                Its flight is not on this phone yet. Ask {pourer} what may be in it that you must not have.
              </p>
            )}
            {tired && <p class="note due">{tired}</p>}
          </>
        }
        hint="Names and the others’ scores show when all have finished."
        alarm={`Spit it out and tell ${pourer} now: they know which barrel it is.`}
        again={before && 'You scored it already; this one takes its place.'}
      >
        {drinks && <p class="note">{drinks}</p>}
        <p class="note">
          Water, a cracker and two minutes before the next. Spitting is fine; not before driving, boating or
          cellar work.
        </p>
      </SayingForm>
    </Screen>
  );
}
