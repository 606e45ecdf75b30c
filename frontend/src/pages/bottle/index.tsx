import '../parts/acts.css';
import './style.css';
import { useState } from 'preact/hooks';
import { useRoute } from 'preact-iso';
import { BottleLevel } from '~/components/bottle-level/index.tsx';
import { Choice } from '~/components/choice/index.tsx';
import { Empty } from '~/components/empty/index.tsx';
import { Field } from '~/components/field/index.tsx';
import { Loading } from '~/components/loading/index.tsx';
import { Press } from '~/components/press/index.tsx';
import { Screen } from '~/components/screen/index.tsx';
import { Section } from '~/components/section/index.tsx';
import { Sill } from '~/components/sill/index.tsx';
import { Note, Say, Title } from '~/components/words/index.tsx';
import { people } from '~/outbox/overlay.ts';
import { bottleOfTag, type ShownBottle } from '~/outbox/overlay-glass.ts';
import { tagFromText } from '~/science/tag.ts';
import { BottleDrawing } from '../lessons/bottle.tsx';
import { moment } from '../parts/clock.ts';
import { isFirstLoad } from '../parts/first-load.ts';
import { Fresh } from '../parts/fresh.tsx';
import { keep, keptWords } from '../parts/keep.ts';
import { LessonFor } from '../parts/lesson-for.tsx';
import { isKeeper, myId, nameOf } from '../parts/me.ts';
import { bestBeforeWords, bottleWords, numberWords } from '../words/bottle.ts';
import { vesselStrengthWords, warnedWords } from '../words/glass.ts';
import { capital } from '../words/numbers.ts';
import { typedNumber } from '../words/typed.ts';
import { Story } from './story.tsx';

const AWAY = 'away';

/** A bottle by its tag: what is in it, whose it is, and its story. */
export default function BottlePage() {
  const { params } = useRoute();
  const read = tagFromText(params.code ?? '');
  const bottle = read.ok ? bottleOfTag(read.code) : undefined;
  if (bottle) return <Room key={bottle.id} bottle={bottle} />;
  if (isFirstLoad()) {
    return (
      <Screen title="Bottle" heading="Looking for the bottle">
        <Loading label="Looking for the bottle" />
      </Screen>
    );
  }
  return (
    <Screen title="Bottle" top={{ back: { href: '/bottles', label: 'Bottles' }, right: <Fresh /> }}>
      <Section>
        <Title>No bottle</Title>
        <Empty>
          <p>
            {read.ok
              ? `No bottle with the tag ${read.code} is on this phone. It may be private, or not fetched yet.`
              : read.detail}
          </p>
          <Press href="/bottles">All bottles</Press>
        </Empty>
      </Section>
    </Screen>
  );
}

function Room({ bottle }: { bottle: ShownBottle }) {
  const [said, setSaid] = useState('');
  const [problem, setProblem] = useState('');
  const now = moment();
  const isMine = bottle.holder === myId() || isKeeper();
  const best = bestBeforeWords(bottle, now);
  const warned = warnedWords(bottle.allergens);
  const isOver = bottle.ended_at !== null;

  const change = async (
    what: 'opened' | 'level' | 'handed_over' | 'finished' | 'broken',
    more: { level_ml?: number; person?: string | null } = {},
  ): Promise<void> => {
    const kept = await keep('bottle-changes', { bottle: bottle.id, change: what, ...more });
    setProblem(kept.ok ? '' : kept.words);
    if (kept.ok) setSaid(keptWords());
  };

  return (
    <Screen
      title={bottle.name}
      announce={said || problem}
      top={{ back: { href: '/bottles', label: 'Bottles' }, right: <Fresh /> }}
      sill={
        <Sill
          left={{ label: 'Bottles', href: '/bottles' }}
          {...(isMine && !isOver && bottle.opened_at === null
            ? { act: { label: 'Open it', onPress: () => void change('opened') } }
            : {})}
          {...(bottle.barrel ? { right: { label: 'Barrel', href: `/barrels/${bottle.barrel}` } } : {})}
        />
      }
    >
      <Section>
        <div class="bottle-page__head">
          <BottleLevel
            level={bottle.level_ml / bottle.size_ml}
            label={`${bottle.level_ml} of ${bottle.size_ml} mL`}
          />
          <div>
            <Title>{capital(bottle.name)}</Title>
            <Note>
              {numberWords(bottle)}, tag {bottle.tag_code}
            </Note>
          </div>
        </div>
        <p class="lead gap3">{bottleWords(bottle, now)}</p>
        {best && <Say>{best}</Say>}
        {bottle.abv_pct !== null && <Note>{capital(vesselStrengthWords(bottle))}.</Note>}
        <Note>{bottle.holder ? `Held by ${nameOf(bottle.holder)}.` : 'The club’s.'}</Note>
        {warned && <p class="note ink gap3">{warned}</p>}
        {said && (
          <p class="ok tick gap3" aria-hidden="true">
            {said}
          </p>
        )}
        {isMine && !isOver && <LessonFor name="bottle" drawing={<BottleDrawing />} />}
        {problem && (
          <p class="red gap3" role="alert">
            {problem}
          </p>
        )}
        {isMine && !isOver && <Changes bottle={bottle} onChange={change} />}
      </Section>
      <Story bottle={bottle} />
    </Screen>
  );
}

interface ChangesProps {
  bottle: ShownBottle;
  onChange: (
    what: 'level' | 'handed_over' | 'finished' | 'broken',
    more?: { level_ml?: number; person?: string | null },
  ) => Promise<void>;
}

/** What became of it: how much is left, to whom it went, or that it is gone. */
function Changes({ bottle, onChange }: ChangesProps) {
  const [level, setLevel] = useState('');
  const [to, setTo] = useState('');
  const level_ml = typedNumber(level);
  const isLevel = level_ml !== null && level_ml >= 0 && level_ml <= bottle.size_ml;
  const others = people.value.filter(
    (one) => one.id !== bottle.holder && !['tablet', 'sensor'].includes(one.role) && !one.left_at,
  );
  return (
    <div class="stack gap5">
      <Field
        label="How much is left"
        unit="mL"
        inputMode="numeric"
        value={level}
        onInput={setLevel}
        error={level.trim() && !isLevel ? 'That does not go into it.' : undefined}
        allowed={level.trim() && !isLevel ? `0 to ${bottle.size_ml} mL` : undefined}
        hint="More air above it, fewer good months."
      />
      {isLevel && (
        <Press
          onPress={() => void onChange('level', { level_ml: Math.round(level_ml) }).then(() => setLevel(''))}
        >
          Note it
        </Press>
      )}
      <Choice
        label="Hand it to"
        options={[
          { value: '', label: 'Nobody' },
          ...others.map((one) => ({ value: one.id, label: one.name })),
          { value: AWAY, label: 'Somebody outside the club' },
        ]}
        value={to}
        onChange={setTo}
      />
      {to === AWAY && (
        <Note>Giving or selling spirit outside the club may need a licence: your local law decides.</Note>
      )}
      {to !== '' && (
        <Press
          onPress={() =>
            void onChange('handed_over', { person: to === AWAY ? null : to }).then(() => setTo(''))
          }
        >
          Hand it over
        </Press>
      )}
      <div class="acts">
        <Press onPress={() => void onChange('finished')}>Finished</Press>
        <Press tone="red" onPress={() => void onChange('broken')}>
          Broken
        </Press>
      </div>
    </div>
  );
}
