import { useState } from 'preact/hooks';
import { Field } from '~/components/field/index.tsx';
import { scoreText } from '~/components/rod/words.ts';
import { Screen } from '~/components/screen/index.tsx';
import { Section } from '~/components/section/index.tsx';
import { Sill } from '~/components/sill/index.tsx';
import { StaveList } from '~/components/stave-list/index.tsx';
import { StaveRow } from '~/components/stave-row/index.tsx';
import { Title } from '~/components/words/index.tsx';
import { unreadScores } from '~/outbox/flights.ts';
import { moment } from '../parts/clock.ts';
import { drinkG } from '../parts/drink.ts';
import { myEvening } from '../parts/evening.ts';
import { Fresh } from '../parts/fresh.tsx';
import { useGo } from '../parts/go.ts';
import { drinksWords } from '../words/evening.ts';
import { CODE_ALLOWED, isCode, TONIGHT, tonightSince } from '../words/flights.ts';

/** For a taster whose phone has not read the flight: the number on the glass is enough. */
export function Tonight() {
  const go = useGo();
  const [typed, setTyped] = useState('');
  const [wrong, setWrong] = useState(false);
  const scored = unreadScores(tonightSince(moment().now_ms));
  const drinks = drinksWords(myEvening(), drinkG());
  const open = (event?: Event): void => {
    event?.preventDefault();
    const code = typed.trim();
    if (isCode(code)) go(`/flights/${TONIGHT}/${code}`);
    else setWrong(true);
  };
  return (
    <Screen
      title="Glasses by number"
      glow="right"
      announce={wrong ? 'That is no number of a glass.' : ''}
      top={{ back: { href: '/flights', label: 'Flights' }, right: <Fresh /> }}
      sill={
        <Sill
          left={{ label: 'Leave', href: '/flights' }}
          act={{ label: 'Taste it', lit: isCode(typed.trim()), onPress: () => open() }}
        />
      }
    >
      <Section>
        <Title>The number on your glass</Title>
        <p class="note gap2">
          This phone need not know the flight. Your scores find it when both phones have had signal.
        </p>
        <form class="gap4" onSubmit={open} noValidate>
          <Field
            label="Number"
            inputMode="numeric"
            autocomplete="off"
            maxLength={3}
            value={typed}
            onInput={(text) => {
              setTyped(text);
              setWrong(false);
            }}
            hint="Three figures, as the pourer wrote them."
            error={wrong ? 'That is no number of a glass.' : undefined}
            allowed={wrong ? CODE_ALLOWED : undefined}
          />
        </form>
        {drinks && <p class="note gap4">{drinks}</p>}
      </Section>
      {scored.length > 0 && (
        <>
          <Section class="gap6">
            <h2 class="lead b">Scored this evening</h2>
          </Section>
          <div class="gap3">
            <StaveList label="Scored this evening">
              {scored.map((score) => (
                <StaveRow
                  key={score.code}
                  heading="h3"
                  title={<span class="flight__code">{score.code}</span>}
                  href={`/flights/${TONIGHT}/${score.code}`}
                  tone="done"
                  aside={<span class="ok tick">{scoreText(score.liking)}</span>}
                >
                  {score.is_sent ? 'Sent. It waits for its flight.' : 'Kept on this phone.'}
                </StaveRow>
              ))}
            </StaveList>
          </div>
        </>
      )}
    </Screen>
  );
}
