import './style.css';
import { useEffect, useMemo, useState } from 'preact/hooks';
import { useRoute } from 'preact-iso';
import { session } from '~/api/session.ts';
import { Notice } from '~/components/notice/index.tsx';
import { PressGroup } from '~/components/press-group/index.tsx';
import { Rod } from '~/components/rod/index.tsx';
import { Screen } from '~/components/screen/index.tsx';
import { Section } from '~/components/section/index.tsx';
import { Sill } from '~/components/sill/index.tsx';
import { Brand } from '~/components/words/index.tsx';
import { barrelBy, logOf, type ShownBarrel } from '~/outbox/overlay.ts';
import { draft as draftOf } from '~/store/drafts.ts';
import { TastingDrawing } from '../lessons/tasting.tsx';
import { moment } from '../parts/clock.ts';
import { drinkG } from '../parts/drink.ts';
import { myEvening } from '../parts/evening.ts';
import { useGo } from '../parts/go.ts';
import { keep, keptWords } from '../parts/keep.ts';
import { LessonFor } from '../parts/lesson-for.tsx';
import { myId } from '../parts/me.ts';
import { Missing, NotAllowed } from '../parts/missing.tsx';
import { insideNow, stateSentence, week } from '../words/barrel.ts';
import { drinksWords, tiredPalateWords } from '../words/evening.ts';
import { capital, listed } from '../words/numbers.ts';
import {
  allergenWords,
  budgetSentence,
  eveningGuard,
  isAlarming,
  myScoreToday,
  OAK_CHOICES,
  type TasteDraft,
  takenTodayMl,
  tasteBody,
  usualSampleMl,
} from '../words/taste.ts';
import { nearTime, today } from '../words/time.ts';
import { quarantineWords } from '../words/trouble.ts';
import { ProfileSheet } from './profile-sheet.tsx';
import { Saved } from './saved.tsx';
import { AskAgain, MoreSheet, OffSheet } from './sheets.tsx';

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
  if (held) return <NotAllowed title={barrel.name} words={held} />;
  if (!contents.may_taste) {
    return <NotAllowed title={barrel.name} words="This fill is tasted by its sharers only." />;
  }
  return <Room key={contents.stay} barrel={barrel} fill={contents.stay} />;
}

function Room({ barrel, fill }: { barrel: ShownBarrel; fill: string }) {
  const now = moment();
  const go = useGo();
  const contents = barrel.contents!;
  const handle = useMemo(() => draftOf<TasteDraft>(`taste:${fill}`), [fill]);
  const start: TasteDraft = { off_notes: [], note: '', sample_ml: lastSample(barrel.capacity_l) };
  const draft = handle.value.value ?? start;
  const log = logOf(barrel.id).value ?? [];
  const [sheet, setSheet] = useState<'off' | 'more' | 'profile' | 'again' | null>(null);
  const [saved, setSaved] = useState<{ id: string; liking: number } | null>(null);
  const [problem, setProblem] = useState('');
  const [isBusy, setBusy] = useState(false);
  const [opened] = useState(now.now_ms);
  useEffect(() => () => void handle.flush(), [handle]);

  const change = (part: Partial<TasteDraft>): void => handle.save({ ...draft, ...part });
  const day = today(now);
  const inside = insideNow(barrel, now.now_ms);
  const guard = inside
    ? eveningGuard(takenTodayMl(log, fill, day), draft.sample_ml, inside.volume_l.mid)
    : null;
  const mine = saved ? null : myScoreToday(log, fill, day, myId());
  const evening = myEvening();
  // A second score of the same glass is no further spirit.
  const position = evening.filter((sample) => sample.id !== mine).length + 1;
  const drinks = drinksWords(evening, drinkG());
  const tired = tiredPalateWords(position);

  const save = async (isSure = false): Promise<void> => {
    const body = tasteBody(draft, barrel.id, fill, day, position);
    if (!body) {
      setProblem('Tap the rod first.');
      return;
    }
    if (guard?.asksAgain && !isSure) {
      setSheet('again');
      return;
    }
    if (isBusy) return;
    setBusy(true);
    setSheet(null);
    // A second score of the same evening corrects the first; two would wait for the keeper.
    const kept = await keep('tastings', mine ? { ...body, replaces: mine } : body);
    setBusy(false);
    if (!kept.ok) {
      setProblem(kept.words);
      return;
    }
    keepSample(barrel.capacity_l, draft.sample_ml);
    setProblem('');
    setSaved({ id: kept.recorded.id, liking: body.liking });
    await handle.clear();
    scrollTo(0, 0);
  };

  if (saved) {
    return (
      <Saved
        barrel={barrel}
        fill={fill}
        saved={saved}
        off={isAlarming(draft.off_notes)}
        words={keptWords()}
      />
    );
  }
  const allergens = allergenWords(barrel);
  const isWet = draft.liking !== undefined;
  return (
    <Screen
      title={`Taste of ${barrel.name}`}
      glow="right"
      announce={problem}
      top={{
        back: { href: `/barrels/${barrel.id}`, label: 'Back' },
        right: `${session.value.person?.name ?? ''}, ${nearTime(opened, now)}`,
      }}
      sill={
        <Sill
          left={{ label: 'Leave', onPress: () => go(`/barrels/${barrel.id}`) }}
          act={{ label: isBusy ? 'Saving' : 'Save', lit: isWet, onPress: () => void save() }}
          right={{ label: 'Blind', href: '/flights' }}
        />
      }
    >
      <div class="taste">
        <div class="taste__rod">
          <Section>
            <Brand as="h1" big>
              {barrel.name}
            </Brand>
            <p class="note gap2">
              Week {week(contents, now.now_ms)}. {budgetSentence(contents, draft.sample_ml)}
            </p>
            {guard && <p class="note due">{guard.words}</p>}
            {tired && <p class="note due">{tired}</p>}
            {allergens.length > 0 && <p class="note ink">May hold {listed(allergens)}.</p>}
          </Section>
          <div class="gap3">
            <Rod
              value={draft.liking}
              onChange={(liking) => {
                setProblem('');
                change({ liking });
              }}
              hint="What the others gave shows when yours is saved."
            />
          </div>
        </div>
        <Section class="taste__rest">
          <PressGroup
            label="Oak"
            options={OAK_CHOICES}
            value={draft.oak}
            onChange={(oak) => {
              const { oak: _, ...rest } = draft;
              handle.save(oak === undefined ? rest : { ...rest, oak });
            }}
            none
          />
          <div class="row">
            <button type="button" class="link" onClick={() => setSheet('off')}>
              {draft.off_notes.length > 0 ? `Off: ${draft.off_notes.length} ticked` : 'Something off?'}
            </button>
            <button type="button" class="link" onClick={() => setSheet('more')}>
              {draft.note || draft.profile ? 'What you said' : 'Say more'}
            </button>
          </div>
          {mine && <p class="note">You scored it today already; this one takes its place.</p>}
          {problem && <Notice tone="red">{capital(problem)}</Notice>}
          {drinks && <p class="note">{drinks}</p>}
          <p class="note">Not before driving, boating or cellar work. Spitting is fine.</p>
          <LessonFor name="tasting" drawing={<TastingDrawing />} />
        </Section>
      </div>
      {sheet === 'off' && <OffSheet draft={draft} onChange={change} onClose={() => setSheet(null)} />}
      {sheet === 'more' && (
        <MoreSheet
          draft={draft}
          onChange={change}
          onClose={() => setSheet(null)}
          onProfile={() => setSheet('profile')}
        />
      )}
      {sheet === 'profile' && (
        <ProfileSheet draft={draft} onChange={change} onClose={() => setSheet('more')} />
      )}
      {sheet === 'again' && guard && (
        <AskAgain words={guard.words} onClose={() => setSheet(null)} onSure={() => void save(true)} />
      )}
    </Screen>
  );
}
