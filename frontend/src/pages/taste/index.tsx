import { useRef, useState } from 'preact/hooks';
import { useRoute } from 'preact-iso';
import type { OffNote } from '~/api/types.ts';
import { Screen } from '~/components/screen/index.tsx';
import { Sill } from '~/components/sill/index.tsx';
import { Brand } from '~/components/words/index.tsx';
import { barrelBy, logOf, type ShownBarrel } from '~/outbox/overlay.ts';
import { TastingDrawing } from '../lessons/tasting.tsx';
import { moment } from '../parts/clock.ts';
import { drinkG } from '../parts/drink.ts';
import { myEvening } from '../parts/evening.ts';
import { useGo } from '../parts/go.ts';
import { keep, keptWords } from '../parts/keep.ts';
import { LessonFor } from '../parts/lesson-for.tsx';
import { myId } from '../parts/me.ts';
import { Missing, NotAllowed } from '../parts/missing.tsx';
import { useWhenAt, WhenField } from '../parts/when.tsx';
import { insideNow, stateSentence, week } from '../words/barrel.ts';
import { drinksWords, tiredPalateWords } from '../words/evening.ts';
import { listed } from '../words/numbers.ts';
import {
  allergenWords,
  budgetSentence,
  eveningGuard,
  myScoreToday,
  takenTodayMl,
  tasteBody,
  usualSampleMl,
} from '../words/taste.ts';
import { today } from '../words/time.ts';
import { quarantineWords } from '../words/trouble.ts';
import { Saved } from './saved.tsx';
import { SayingForm, useSaying } from './saying.tsx';
import { AskAgain } from './sheets.tsx';

const SAMPLE_KEY = 'staveward.sample-ml';

/** The sample this phone used last for a barrel of that size, else the usual one. */
function lastSample(capacity_l: number): number {
  const usual = usualSampleMl(capacity_l);
  try {
    return Number(localStorage.getItem(`${SAMPLE_KEY}.${usual}`)) || usual;
  } catch {
    return usual;
  }
}

function keepSample(capacity_l: number, sample_ml: number): void {
  try {
    localStorage.setItem(`${SAMPLE_KEY}.${usualSampleMl(capacity_l)}`, String(sample_ml));
  } catch {
    // Then the usual sample stands there next time.
  }
}

/** A taste: rod, oak, save. */
export default function TastePage() {
  const { params } = useRoute();
  // Whoever is at it stays: the taste that closes the barrel is still shown as saved.
  const open = useRef('');
  const barrel = barrelBy(params.id ?? '');
  if (!barrel) return <Missing what="This barrel is not in the club’s list on this phone." />;
  const { contents } = barrel;
  if (contents?.kind !== 'fill') {
    return (
      <NotAllowed
        title={barrel.name}
        words={`There is nothing to taste in ${barrel.name}. ${stateSentence(barrel, moment())}`}
      />
    );
  }
  const held = quarantineWords(barrel);
  const isAtIt = open.current === contents.stay;
  if (held && !isAtIt) return <NotAllowed title={barrel.name} words={held} />;
  if (!contents.may_taste && !isAtIt) {
    return <NotAllowed title={barrel.name} words="This fill is tasted by its sharers only." />;
  }
  open.current = contents.stay;
  return <Room key={contents.stay} barrel={barrel} fill={contents.stay} />;
}

function Room({ barrel, fill }: { barrel: ShownBarrel; fill: string }) {
  const now = moment();
  const go = useGo();
  const when = useWhenAt(barrel);
  const contents = barrel.contents!;
  const saying = useSaying(`taste:${fill}`, {
    off_notes: [],
    note: '',
    sample_ml: lastSample(barrel.capacity_l),
  });
  const { draft } = saying;
  const log = logOf(barrel.id).value ?? [];
  const [isAsking, setAsking] = useState(false);
  const [saved, setSaved] = useState<{ id: string; liking: number; off_notes: readonly OffNote[] } | null>(
    null,
  );

  const then = { ...now, now_ms: when.at_ms };
  const day = today(then);
  const isToday = day === today(now);
  const inside = insideNow(barrel, when.at_ms);
  const guard = inside
    ? eveningGuard(takenTodayMl(log, fill, day), draft.sample_ml, inside.volume_l.mid)
    : null;
  const mine = saved ? null : myScoreToday(log, fill, day, myId());
  const evening = isToday ? myEvening() : [];
  // A second score of the same glass is no further spirit.
  const position = evening.filter((sample) => sample.id !== mine).length + 1;
  const drinks = drinksWords(evening, drinkG());
  const tired = tiredPalateWords(position);

  const save = async (isSure = false): Promise<void> => {
    const body = tasteBody(draft, barrel.id, fill, day, isToday ? position : undefined);
    if (!body) {
      saying.setProblem('Tap the rod first.');
      return;
    }
    const at = when.said();
    if (at === null) return;
    if (guard?.asksAgain && !isSure) {
      setAsking(true);
      return;
    }
    setAsking(false);
    // A second score of the same evening corrects the first; two would wait for the keeper.
    const kept = await saying.keepOnce(() =>
      keep('tastings', { ...body, ...at, ...(mine ? { replaces: mine } : {}) }),
    );
    if (!kept?.ok) return;
    keepSample(barrel.capacity_l, draft.sample_ml);
    setSaved({ id: kept.recorded.id, liking: body.liking, off_notes: body.off_notes ?? [] });
    await saying.clear();
    scrollTo(0, 0);
  };

  if (saved) {
    return <Saved barrel={barrel} fill={fill} saved={saved} off={saved.off_notes} words={keptWords()} />;
  }
  const allergens = allergenWords(barrel);
  const isWet = draft.liking !== undefined;
  return (
    <Screen
      title={`Taste of ${barrel.name}`}
      glow="right"
      announce={saying.problem}
      top={{
        back: { href: `/barrels/${barrel.id}`, label: 'Back' },
        right: saying.who,
      }}
      sill={
        <Sill
          left={{ label: 'Leave', onPress: () => go(`/barrels/${barrel.id}`) }}
          act={{ label: saying.isBusy ? 'Saving' : 'Save', lit: isWet, onPress: () => void save() }}
          right={{ label: 'Blind', href: '/flights' }}
        />
      }
    >
      <SayingForm
        saying={saying}
        head={
          <>
            <Brand as="h1" big>
              {barrel.name}
            </Brand>
            <p class="note gap2">
              Week {week(contents, { ...now, now_ms: when.at_ms })}.{' '}
              {budgetSentence(contents, draft.sample_ml)}
            </p>
            {guard && <p class="note due">{guard.words}</p>}
            {tired && <p class="note due">{tired}</p>}
            {allergens.length > 0 && <p class="note ink">May hold {listed(allergens)}.</p>}
          </>
        }
        hint="What the others gave shows when yours is saved."
        again={mine && `You scored it ${isToday ? 'today' : 'that day'} already; this one takes its place.`}
      >
        {drinks && <p class="note">{drinks}</p>}
        <WhenField when={when} />
        <p class="note">Not before driving, boating or cellar work. Spitting is fine.</p>
        <LessonFor name="tasting" drawing={<TastingDrawing />} />
      </SayingForm>
      {isAsking && guard && (
        <AskAgain words={guard.words} onClose={() => setAsking(false)} onSure={() => void save(true)} />
      )}
    </Screen>
  );
}
