import './style.css';
import { useEffect, useMemo, useState } from 'preact/hooks';
import { useRoute } from 'preact-iso';
import type { ReservationAnswer } from '~/api/types.ts';
import { Loading } from '~/components/loading/index.tsx';
import { Notice } from '~/components/notice/index.tsx';
import { Screen } from '~/components/screen/index.tsx';
import { Section } from '~/components/section/index.tsx';
import { Sentence } from '~/components/sentence/index.tsx';
import { Sill } from '~/components/sill/index.tsx';
import { StaveList } from '~/components/stave-list/index.tsx';
import { Say } from '~/components/words/index.tsx';
import { barrelBy, club } from '~/outbox/overlay.ts';
import { settled, takeBack } from '~/outbox/record.ts';
import { addDays, clockIn } from '~/science/dates.ts';
import { draft as draftOf } from '~/store/drafts.ts';
import { suggestions, useAnswer } from '~/sync/answers.ts';
import { syncStatus } from '~/sync/status.ts';
import { moment } from '../parts/clock.ts';
import { Fresh } from '../parts/fresh.tsx';
import { keep } from '../parts/keep.ts';
import { nameOf } from '../parts/me.ts';
import { inWords } from '../words/numbers.ts';
import { kindLabel, OAK_WISHES, type Outcome, outcomeOf, type Wish, wishProblems } from '../words/reserve.ts';
import { dayMonth, nearDayOf, today } from '../words/time.ts';
import { AmountSheet, DatesSheet, KindSheet } from './sheets.tsx';
import { Suited } from './suited.tsx';

function startWish(day: string): Wish {
  return {
    fill_name: '',
    spirit: 'whisky',
    family: 'spirit',
    volume_l: 5,
    abv_pct: null,
    earliest: addDays(day, 7),
    weeks: 8,
    oak: 2,
  };
}

/** Which barrel for my next fill: the wish as a sentence, the barrels with reasons, a pencil. */
export default function ReservePage() {
  const now = moment();
  const day = today(now);
  const { query } = useRoute();
  const handle = useMemo(() => draftOf<Wish>('reserve'), []);
  const wish = { ...startWish(day), ...(handle.value.value ?? {}) };
  if (wish.earliest < day) wish.earliest = day;
  const change = (part: Partial<Wish>): void => handle.save({ ...wish, ...part });
  useEffect(() => () => void handle.flush(), [handle]);
  const [chosen, setChosen] = useState<string | null>(query.barrel ?? null);
  const [sheet, setSheet] = useState<'change' | 'dates' | null>(null);
  const [outcome, setOutcome] = useState<Outcome | null>(null);
  const [problem, setProblem] = useState('');
  const [isBusy, setBusy] = useState(false);

  const problems = wishProblems(wish, day);
  const asked = {
    volume_l: wish.volume_l,
    spirit: wish.spirit,
    family: wish.family,
    earliest: wish.earliest,
    weeks: wish.weeks,
    oak: wish.oak,
    ...(wish.abv_pct === null ? {} : { abv_pct: wish.abv_pct }),
  };
  const { value: answer, refresh } = useAnswer(() => suggestions(asked), JSON.stringify(asked));
  const suits = answer.data?.suits ?? [];
  const best = suits.find((one) => one.barrel === chosen) ?? suits[0];
  const name = best ? (barrelBy(best.barrel)?.name ?? 'it') : '';
  const noSignal = !syncStatus.value.has_signal || answer.problem?.code === 'no_signal';

  const pencil = async (): Promise<void> => {
    if (!best || isBusy) return;
    setProblem('');
    setBusy(true);
    const kept = await keep('reservations', {
      barrel: best.barrel,
      starts_on: best.starts_on,
      ends_on: best.ends_on,
      fill_name: kindLabel(wish),
      spirit: wish.spirit,
      family: wish.family,
      volume_l: wish.volume_l,
      ...(wish.abv_pct === null ? {} : { abv_pct: wish.abv_pct }),
      oak_wish: wish.oak,
    });
    if (!kept.ok) {
      setBusy(false);
      setProblem(kept.words);
      return;
    }
    const entry = await settled(kept.recorded.id, { timeout_ms: 15_000 });
    setBusy(false);
    scrollTo(0, 0);
    if (entry?.state === 'done') {
      setOutcome(outcomeOf(entry.answer as unknown as ReservationAnswer, name, nameOf));
      void refresh();
    } else if (entry?.state === 'refused') {
      setProblem(entry.problem?.detail ?? 'The server refused it.');
    } else if (await takeBack(kept.recorded.id)) {
      setProblem('There is no signal, so nothing was asked. Dates can only be pencilled with signal.');
    } else {
      setProblem('The server has not answered yet. It is kept, and stands under Not yet sent.');
    }
  };

  return (
    <Screen
      title="Reserve"
      heading="Reserve a barrel"
      announce={outcome ? `${outcome.verdict} ${outcome.detail}` : problem}
      top={{
        back: { href: '/', label: 'Back' },
        right:
          answer.as_of_ms !== null && !noSignal ? (
            `as of ${clockIn(now.timezone, answer.as_of_ms)}`
          ) : (
            <Fresh />
          ),
      }}
      sill={
        outcome ? (
          <Sill
            left={{ label: 'Change', onPress: () => setOutcome(null) }}
            act={{ label: 'My reservations', href: '/reservations' }}
          />
        ) : (
          <Sill
            left={{ label: 'Change', onPress: () => setSheet('change') }}
            {...(best && !noSignal
              ? { act: { label: isBusy ? 'Asking' : pencilLabel(name), onPress: () => void pencil() } }
              : { act: { label: 'Ask again', lit: false, onPress: () => void refresh() } })}
            right={{ label: 'Dates', onPress: () => setSheet('dates') }}
          />
        )
      }
    >
      <Section>
        <Sentence
          parts={[
            'I want to fill ',
            {
              id: 'volume',
              label: 'How much?',
              text: `${wish.volume_l}\u00a0L`,
              sheet: (close) => <AmountSheet wish={wish} onChange={change} close={close} />,
            },
            ' of ',
            {
              id: 'kind',
              label: 'What?',
              text: kindLabel(wish),
              sheet: (close) => <KindSheet wish={wish} onChange={change} close={close} />,
            },
            ' from ',
            {
              id: 'from',
              label: 'From when?',
              text: dayMonth(wish.earliest),
              sheet: (close) => <DatesSheet wish={wish} today={day} onChange={change} close={close} />,
            },
            ' for ',
            {
              id: 'weeks',
              label: 'For how long?',
              text: wish.weeks === 1 ? 'about a week' : `about ${wish.weeks} weeks`,
              value: String(wish.weeks),
              onChange: (weeks) => change({ weeks: Number(weeks) }),
              options: [2, 3, 4, 6, 8, 10, 12, 16, 26, 52].map((weeks) => ({
                value: String(weeks),
                label: weeks === 52 ? 'a year' : weeks === 26 ? 'half a year' : `${weeks} weeks`,
              })),
            },
            ', and I like the oak ',
            {
              id: 'oak',
              label: 'How much oak?',
              text: OAK_WISHES[wish.oak] ?? 'medium',
              value: String(wish.oak),
              onChange: (oak) => change({ oak: Number(oak) }),
              options: [1, 2, 3, 4, 5].map((oak) => ({ value: String(oak), label: OAK_WISHES[oak]! })),
            },
            '.',
          ]}
        />
      </Section>
      {outcome && (
        <div class="gap4">
          <Notice tone={outcome.tone === 'ok' ? 'ok' : 'plain'}>
            <Say as="p">{outcome.verdict}</Say>
            <p class="gap2">{outcome.detail}</p>
          </Notice>
        </div>
      )}
      {problem && (
        <div class="gap4">
          <Notice tone="red">{problem}</Notice>
        </div>
      )}
      {problems.map((one) => (
        <Section key={one.field}>
          <p class="red gap3">
            {one.detail} Allowed: {one.allowed}.
          </p>
        </Section>
      ))}
      {noSignal && !outcome && (
        <Section>
          <p class="gap4">
            Reserving needs signal, so that nobody gets the same days twice.{' '}
            {answer.data && answer.as_of_ms !== null
              ? `What follows is from ${nearDayOf(answer.as_of_ms, now)}.`
              : 'Your wish is kept until there is some.'}
          </p>
        </Section>
      )}
      {answer.problem && answer.problem.code !== 'no_signal' && (
        <div class="gap4">
          <Notice tone="red">{answer.problem.detail}</Notice>
        </div>
      )}
      <div class={answer.loading && answer.data ? 'reserve__list reserve__list--old' : 'reserve__list'}>
        {outcome?.tone !== 'ok' && (
          <>
            {answer.loading && !answer.data && <Loading label="Looking at the barrels" />}
            {suits.length > 0 && (
              <StaveList label="Barrels that suit, best first" as="ol">
                {suits.map((one, place) => (
                  <Suited
                    key={one.barrel}
                    suggestion={one}
                    isBest={place === 0}
                    isChosen={one.barrel === best?.barrel}
                    onChoose={() => setChosen(one.barrel)}
                  />
                ))}
              </StaveList>
            )}
            {answer.data && suits.length === 0 && (
              <Section>
                <Say as="h2">No barrel suits that wish.</Say>
                <p class="note gap2">The reasons stand below. Change the amount, the days or the oak.</p>
              </Section>
            )}
            {(answer.data?.not_this_time.length ?? 0) > 0 && (
              <Section class="gap5">
                <p class="note">
                  <b>Not this time:</b> {answer.data!.not_this_time.map((one) => one.detail).join(' ')}
                </p>
              </Section>
            )}
          </>
        )}
        <Section class="gap4">
          <p class="note">
            Local law and your licensing authority decide what may be aged and shared. {clubRule()}
          </p>
        </Section>
      </div>
      {sheet === 'dates' && (
        <DatesSheet
          wish={wish}
          today={day}
          onChange={change}
          close={() => setSheet(null)}
          isOwn
          best={best}
        />
      )}
      {sheet === 'change' && (
        <KindSheet wish={wish} onChange={change} close={() => setSheet(null)} isOwn withAmount />
      )}
    </Screen>
  );
}

/** A name whose longest word is wider than the plank stays on the row above it. */
function pencilLabel(name: string): string {
  return name.split(/\s/).some((word) => word.length > 11) ? 'Pencil it' : `Pencil ${name}`;
}

function clubRule(): string {
  const days = club.value?.pencil_days;
  return typeof days === 'number'
    ? `A pencilled date lapses after ${inWords(days)} days unless the keeper confirms it.`
    : '';
}
