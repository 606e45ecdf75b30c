import './style.css';
import { useEffect, useMemo, useState } from 'preact/hooks';
import { useRoute } from 'preact-iso';
import { Loading } from '~/components/loading/index.tsx';
import { Notice } from '~/components/notice/index.tsx';
import { Parts } from '~/components/parts/index.tsx';
import { PourPlan } from '~/components/pour-plan/index.tsx';
import { Press } from '~/components/press/index.tsx';
import { Screen } from '~/components/screen/index.tsx';
import { Section } from '~/components/section/index.tsx';
import { Sill } from '~/components/sill/index.tsx';
import { Note, Say, Title } from '~/components/words/index.tsx';
import { barrelBy, club, placeBy, type ShownBarrel } from '~/outbox/overlay.ts';
import { vessels } from '~/outbox/overlay-glass.ts';
import { MixDrawing } from '../lessons/mix.tsx';
import { moment } from '../parts/clock.ts';
import { drinkG } from '../parts/drink.ts';
import { useGo } from '../parts/go.ts';
import { LessonFor } from '../parts/lesson-for.tsx';
import { Missing } from '../parts/missing.tsx';
import { capacityWords, pictureOf } from '../words/barrel.ts';
import {
  detailSentences,
  emptyWords,
  type GuardLine,
  guardLines,
  makesSentence,
  plannedWords,
  planSentence,
  pourNote,
  pourWords,
} from '../words/mix.ts';
import { type Mix, type MixDraft, type MixPart, mixOf, stopsOf } from '../words/mix-plan.ts';
import { vesselPart, vesselTroubles, withPart, withVessels } from '../words/mix-vessel.ts';
import { capital } from '../words/numbers.ts';
import { AmountsSheet } from './amounts.tsx';
import { ChooseRecipe } from './choose.tsx';
import { mixDraft } from './draft.ts';
import { PlainSheet } from './plain-sheet.tsx';
import { UnitsSheet } from './units.tsx';
import { VesselSheet } from './vessel.tsx';
import { WhyNotSheet } from './why-not.tsx';

/** What goes into this barrel, worked out on the phone: no signal needed. */
export default function MixPage() {
  const { params, query } = useRoute();
  const barrel = barrelBy(params.id ?? '');
  if (!barrel) return <Missing what="This barrel is not in the club’s list on this phone." />;
  return <Room key={barrel.id} barrel={barrel} from={query.vessel} />;
}

interface RoomProps {
  barrel: ShownBarrel;
  /** The vessel somebody came from. */
  from: string | undefined;
}

function Room({ barrel, from }: RoomProps) {
  const handle = useMemo(() => mixDraft(barrel.id), [barrel.id]);
  useEffect(() => () => void handle.flush(), [handle]);
  const draft = handle.value.value;
  // Whoever came from a vessel to a mix that stands adds to it; to none, begins with it.
  const [wasEmpty, setWasEmpty] = useState(false);
  if (!handle.isReady.value) return <Loading />;
  if (!draft && !wasEmpty) setWasEmpty(true);
  if (!draft) return <ChooseRecipe barrel={barrel} from={from} onChosen={(chosen) => handle.save(chosen)} />;
  return (
    <Worked
      barrel={barrel}
      from={wasEmpty ? undefined : from}
      draft={withVessels(draft, vessels.value)}
      onChange={(part) => handle.save({ ...draft, ...part })}
      onForget={() => void handle.clear()}
    />
  );
}

interface WorkedProps {
  barrel: ShownBarrel;
  from: string | undefined;
  draft: MixDraft;
  onChange: (part: Partial<MixDraft>) => void;
  onForget: () => void;
}

type OpenSheet = 'amounts' | 'units' | 'vessel' | 'spirit' | 'why' | null;

function Worked({ barrel, from, draft, onChange, onForget }: WorkedProps) {
  const go = useGo();
  const now = moment();
  const taken = draft.parts.flatMap((part) => part.vessel ?? []);
  const [sheet, setSheet] = useState<OpenSheet>(from && !taken.includes(from) ? 'vessel' : null);
  const add = (part: MixPart): void => {
    onChange(withPart(draft, part));
    setSheet('amounts');
  };
  const cellar = {
    now_ms: now.now_ms,
    temp_c: placeBy(barrel.place)?.temp_c ?? null,
    drink_g: drinkG(),
  };
  const worked = tried(() => mixOf(draft, barrel, cellar));
  const stops = worked.mix ? stopsOf(worked.mix) : null;
  const isStopped = stops !== null && stops.all.length > 0 && (stops.isFinal || draft.reason.trim() === '');
  const poured = draft.parts.filter((part) => part.poured).length;
  const amounts = { label: 'Amounts', onPress: () => setSheet('amounts') };
  const units = { label: 'Units', onPress: () => setSheet('units') };
  const act = !worked.mix
    ? { label: 'Pour', lit: false, onPress: () => setSheet('amounts') }
    : isStopped
      ? { label: 'Why not', lit: false, onPress: () => setSheet('why') }
      : { label: 'Pour', onPress: () => go(`/barrels/${barrel.id}/fill`) };
  return (
    <Screen
      title={`Mix for ${barrel.name}`}
      glow="left"
      top={{
        back: { href: `/barrels/${barrel.id}`, label: barrel.name },
        right: poured === 0 ? 'nothing poured yet' : `${poured} of ${draft.parts.length} poured`,
      }}
      sill={<Sill left={amounts} act={act} right={units} />}
    >
      <Section>
        <Title>{capital(draft.name)}</Title>
        <Note>
          Scaled to {barrel.name}’s {capacityWords(barrel)}.{' '}
          <button type="button" class="link mix__other" onClick={onForget}>
            Another mix
          </button>
        </Note>
      </Section>
      {worked.mix ? (
        <Figures barrel={barrel} draft={draft} mix={worked.mix} now_ms={now.now_ms} />
      ) : (
        <Section class="gap5">
          <Notice tone="red">{worked.problem}</Notice>
        </Section>
      )}
      {sheet === 'amounts' && (
        <AmountsSheet
          draft={draft}
          mix={worked.mix}
          onChange={onChange}
          onAdd={setSheet}
          onClose={() => setSheet(null)}
        />
      )}
      {sheet === 'vessel' && (
        <VesselSheet
          unit={draft.unit}
          from={from}
          taken={taken}
          onTaken={(vessel, volume_l) => add(vesselPart(vessel, volume_l, ''))}
          onClose={() => setSheet(null)}
        />
      )}
      {sheet === 'spirit' && (
        <PlainSheet onChosen={(plain) => plain.parts.map(add)} onClose={() => setSheet(null)} />
      )}
      {sheet === 'units' && <UnitsSheet draft={draft} onChange={onChange} onClose={() => setSheet(null)} />}
      {sheet === 'why' && stops && (
        <WhyNotSheet stops={stops} draft={draft} onChange={onChange} onClose={() => setSheet(null)} />
      )}
    </Screen>
  );
}

/** A part that is no liquid is said, not thrown. */
function tried(make: () => Mix): { mix: Mix | null; problem: string } {
  try {
    return { mix: make(), problem: '' };
  } catch (error) {
    return { mix: null, problem: error instanceof Error ? error.message : 'This cannot be worked out.' };
  }
}

const LIQUIDS = ['mid', 'old', 'young'] as const;

function Figures({
  barrel,
  draft,
  mix,
  now_ms,
}: {
  barrel: ShownBarrel;
  draft: MixDraft;
  mix: Mix;
  now_ms: number;
}) {
  const last = mix.parts.at(-1)?.level ?? 0;
  const picture = {
    ...pictureOf(barrel, now_ms),
    contents: 'spirit' as const,
    hold: false,
    bungClock: 12,
    levelLow: last,
    levelHigh: last,
  };
  const details = detailSentences(mix, club.value?.currency ?? 'EUR');
  return (
    <Parts
      picture={
        <>
          <div class="gap4">
            <PourPlan
              barrel={picture}
              lines={mix.parts.map((row, i) => ({
                key: row.part.key,
                level: row.level,
                liquid: row.part.kind === 'water' ? 'water' : (LIQUIDS[i % LIQUIDS.length] ?? 'mid'),
                amount: `${pourWords(row, draft)}${row.is_poured ? ' ✓' : ''}`,
                name: row.part.name,
                note: row.is_poured ? `poured; planned ${plannedWords(row, draft)}` : pourNote(row, draft),
              }))}
              empty={emptyWords(mix)}
              label={planSentence(barrel.name, mix)}
            />
          </div>
          {mix.parts.length > 1 && (
            <Section class="gap2">
              <Note>Drawn in the order of pouring; in truth they mix.</Note>
            </Section>
          )}
        </>
      }
    >
      <Section class="gap5">
        <Say as="h2">{makesSentence(mix)}</Say>
        <p class="note gap3">{details.join(' ')}</p>
      </Section>
      <Section class="gap5">
        <ul class="mix__guards" aria-label="What speaks for and against it">
          {guardLines(
            mix,
            vesselTroubles(mix, vessels.value).map(({ words }) => words),
          ).map((line) => (
            <GuardItem key={line.words} line={line} />
          ))}
        </ul>
        {draft.reason.trim() !== '' && <Note>Poured all the same because: {draft.reason}</Note>}
      </Section>
      <Section class="gap5">
        <LessonFor name="mix" drawing={<MixDrawing />} />
        <p class="gap4">
          <Press href="/recipes">The recipe book</Press>
        </p>
      </Section>
    </Parts>
  );
}

const TONES: Record<GuardLine['level'], string> = {
  stop: 'red b',
  strong_warning: 'red',
  warning: 'due',
  missing: 'due',
  note: 'soft',
  well: 'ok b tick',
};
const SAID: Partial<Record<GuardLine['level'], string>> = {
  stop: 'Not like this. ',
  strong_warning: 'Careful. ',
};

function GuardItem({ line }: { line: GuardLine }) {
  return (
    <li class={TONES[line.level]}>
      {SAID[line.level] ?? ''}
      {line.words}
    </li>
  );
}
