import { useMemo, useState } from 'preact/hooks';
import { useRoute } from 'preact-iso';
import { Field } from '~/components/field/index.tsx';
import { countUse } from '~/components/lesson/uses.ts';
import { Notice } from '~/components/notice/index.tsx';
import { Screen } from '~/components/screen/index.tsx';
import { Section } from '~/components/section/index.tsx';
import { Sill } from '~/components/sill/index.tsx';
import { Note, Title } from '~/components/words/index.tsx';
import { barrelBy, barrels, logOf, placeBy, type ShownBarrel } from '~/outbox/overlay.ts';
import { outboxEntries } from '~/outbox/queue.ts';
import { MeasureDrawing } from '../lessons/measure.tsx';
import { moment } from '../parts/clock.ts';
import { Fresh } from '../parts/fresh.tsx';
import { insideShape } from '../parts/inside-shape.ts';
import { keepEdit, keptWords } from '../parts/keep.ts';
import { LessonFor } from '../parts/lesson-for.tsx';
import { isKeeper } from '../parts/me.ts';
import { Missing, NotAllowed } from '../parts/missing.tsx';
import { AllergensBefore, BungTight, MeasureFields } from '../parts/register-fields.tsx';
import { litres } from '../words/numbers.ts';
import { isMeasured } from '../words/practised.ts';
import {
  assumedInDraft,
  capacityByTape,
  changesOf,
  dipWords,
  draftOf,
  isEditWaiting,
  type RegisterDraft,
  registerWrong,
  shapeOf,
  type Wrong,
  weighedFrom,
} from '../words/register.ts';

/** A barrel's register: what it is called, what it is made of and how large it is. */
export default function RegisterPage() {
  const { params } = useRoute();
  const barrel = barrelBy(params.id ?? '');
  if (!barrel) return <Missing what="This barrel is not in the club’s list on this phone." />;
  if (!isKeeper())
    return <NotAllowed title={`Register of ${barrel.name}`} words="Only the keeper edits a barrel." />;
  return <Room key={barrel.id} barrel={barrel} />;
}

function Room({ barrel }: { barrel: ShownBarrel }) {
  const [draft, setDraft] = useState<RegisterDraft>(() => draftOf(barrel));
  // An edit is made against what the keeper saw, not against what came in while they typed.
  const [seen, setSeen] = useState(barrel);
  const [wrong, setWrong] = useState<Wrong>({});
  const [said, setSaid] = useState('');
  const [problem, setProblem] = useState('');
  const isWaiting = isEditWaiting(barrel, outboxEntries.value);
  const changes = changesOf(draft, seen);
  const isChanged = Object.keys(changes).length > 0;
  const isNewer = barrel.version > seen.version && isChanged && !said;
  const others = barrels.value.filter((one) => one.id !== barrel.id).map((one) => one.name);

  const change = (next: RegisterDraft): void => {
    setDraft(next);
    setSaid('');
  };
  const startAnew = (): void => {
    setSeen(barrel);
    setDraft(draftOf(barrel));
    setWrong({});
  };
  const save = async (): Promise<void> => {
    const found = registerWrong(draft, barrel, others);
    setWrong(found);
    setProblem('');
    const first = Object.values(found)[0];
    if (first || isWaiting) return;
    if (!isChanged) {
      setProblem('Nothing was changed.');
      return;
    }
    const kept = await keepEdit('barrels', barrel.id, seen.version, changes);
    if (!kept.ok) {
      setProblem(kept.words);
      return;
    }
    if (isMeasured(changes)) countUse('measure');
    setSaid(keptWords());
    scrollTo(0, 0);
  };

  return (
    <Screen
      title={`Register of ${barrel.name}`}
      announce={problem || Object.values(wrong)[0] || said}
      top={{ back: { href: `/barrels/${barrel.id}`, label: barrel.name }, right: <Fresh /> }}
      sill={
        <Sill
          left={{ label: 'Leave', href: `/barrels/${barrel.id}` }}
          act={{ label: 'Save', lit: isChanged && !isWaiting, onPress: () => void save() }}
        />
      }
    >
      <Section>
        <Title>Register of {barrel.name}</Title>
        {said && <p class="ok tick gap3">{said}</p>}
      </Section>
      {isWaiting ? (
        <Notice>
          The last change is still on its way. The register can be changed again once it has arrived.
        </Notice>
      ) : (
        isNewer && (
          <Notice>
            Somebody else changed it meanwhile. Saved now, you are asked which one stands.{' '}
            <button type="button" class="link" onClick={startAnew}>
              Start from theirs
            </button>
          </Notice>
        )
      )}
      <Section class="gap4">
        <Known barrel={barrel} />
      </Section>
      {!isWaiting && (
        <Section class="gap5">
          <div class="stack">
            <Field
              label="Its name"
              value={draft.name}
              onInput={(name) => change({ ...draft, name })}
              maxLength={60}
              error={wrong.name}
            />
            <Field
              label="Its size and build, in words"
              value={draft.note}
              onInput={(note) => change({ ...draft, note })}
              maxLength={300}
              hint="Without a maker’s name, as: short and stout, six hoops."
            />
            <Field
              label="Wood"
              value={draft.wood}
              onInput={(wood) => change({ ...draft, wood })}
              maxLength={60}
              hint="As: American white oak"
            />
            <Field
              label="Char or toast"
              value={draft.char}
              onInput={(char) => change({ ...draft, char })}
              maxLength={60}
              hint="As: medium char"
            />
            <BungTight value={draft.bung_tight} onChange={(bung_tight) => change({ ...draft, bung_tight })} />
            <h2 class="lead b">Its measures</h2>
            <LessonFor name="measure" drawing={<MeasureDrawing />} />
            <MeasureFields draft={draft} wrong={wrong} onChange={change} />
            <Marks barrel={barrel} draft={draft} />
            <AllergensBefore
              label="Allergens held before it came to the club"
              value={draft.allergens}
              onChange={(allergens) => change({ ...draft, allergens })}
            />
            {problem && <Notice tone="red">{problem}</Notice>}
          </div>
        </Section>
      )}
    </Screen>
  );
}

/** What is not edited here, and where each of it comes from. */
function Known({ barrel }: { barrel: ShownBarrel }) {
  const now = moment();
  const { register } = barrel;
  const weighed = weighedFrom(barrel, logOf(barrel.id).value ?? [], now);
  const empty = [
    register.dry_mass_kg !== null && `dry ${Number(register.dry_mass_kg.toFixed(2))}\u00a0kg`,
    register.wet_mass_kg !== null && `wet ${Number(register.wet_mass_kg.toFixed(2))}\u00a0kg`,
  ].filter(Boolean);
  return (
    <dl class="stack">
      <div>
        <dt class="note">By name</dt>
        <dd>
          {litres(barrel.nominal_l)} <span class="note">as it was registered</span>
        </dd>
      </div>
      <div>
        <dt class="note">By weight</dt>
        <dd>{weighed}</dd>
      </div>
      {empty.length > 0 && (
        <div>
          <dt class="note">Empty</dt>
          <dd>{empty.join(', ')}</dd>
        </div>
      )}
      <div>
        <dt class="note">Stands</dt>
        <dd>
          {placeBy(barrel.place)?.name ?? 'Nobody knows'}.{' '}
          <a class="link" href={`/barrels/${barrel.id}/repair`}>
            Move it
          </a>
        </dd>
      </div>
    </dl>
  );
}

/** What the typed measures make of this barrel's dip marks. */
function Marks({ barrel, draft }: { barrel: ShownBarrel; draft: RegisterDraft }) {
  const weighed_l = barrel.register.weighed_capacity_l;
  const before = useMemo(() => insideShape(barrel), [barrel]);
  const after = shapeOf(draft, barrel.nominal_l, weighed_l);
  const assumed = after && assumedInDraft(draft, after);
  return (
    <div class="marks" aria-live="polite">
      <h3 class="b">Its dip marks</h3>
      {after === null ? (
        <Note>With all its measures, how its dip marks change stands here.</Note>
      ) : (
        <>
          <p class="note ink gap2">{capacityByTape(draft, after, weighed_l)}</p>
          {assumed && <p class="note ink gap2">{assumed}</p>}
          <ul class="gap2">
            {dipWords(before, after).map((words) => (
              <li key={words} class="note ink">
                {words}
              </li>
            ))}
          </ul>
        </>
      )}
    </div>
  );
}
