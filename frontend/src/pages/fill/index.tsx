import './style.css';
import '../mix/style.css';
import { useEffect, useMemo, useState } from 'preact/hooks';
import { useRoute } from 'preact-iso';
import { Choice } from '~/components/choice/index.tsx';
import { Field } from '~/components/field/index.tsx';
import { Loading } from '~/components/loading/index.tsx';
import { Notice } from '~/components/notice/index.tsx';
import { Parts } from '~/components/parts/index.tsx';
import { Screen } from '~/components/screen/index.tsx';
import { Section } from '~/components/section/index.tsx';
import { Sill } from '~/components/sill/index.tsx';
import { Note, Say, Title } from '~/components/words/index.tsx';
import {
  barrelBy,
  club,
  logOf,
  people,
  personName,
  placeBy,
  reservationsOf,
  type ShownBarrel,
} from '~/outbox/overlay.ts';
import { vessels } from '~/outbox/overlay-glass.ts';
import { draft as draftOf } from '~/store/drafts.ts';
import { FillDrawing } from '../lessons/fill.tsx';
import { NumberField } from '../mix/amounts.tsx';
import { mixDraft } from '../mix/draft.ts';
import { moment } from '../parts/clock.ts';
import { drinkG } from '../parts/drink.ts';
import { Fresh } from '../parts/fresh.tsx';
import { keptWords } from '../parts/keep.ts';
import { LessonFor } from '../parts/lesson-for.tsx';
import { isKeeper, myId } from '../parts/me.ts';
import { Missing } from '../parts/missing.tsx';
import { useWhenAt, WhenField } from '../parts/when.tsx';
import { liftingWords } from '../words/barrel.ts';
import {
  type FillDraft,
  fillBodies,
  NEW_FILL,
  readingOf,
  readingSentence,
  reservationFor,
} from '../words/fill.ts';
import { fillGates, type Gate, isClear } from '../words/gates.ts';
import { makesSentence } from '../words/mix.ts';
import { type Mix, type MixDraft, mixOf } from '../words/mix-plan.ts';
import { bringsPrivate, gaveOf, suggestedShares, vesselTroubles, withVessels } from '../words/mix-vessel.ts';
import { GateList } from './gates.tsx';
import { keepAll } from './keep-all.ts';
import { Sharers } from './sharers.tsx';
import { OutOfVessels } from './whose.tsx';

/** The barrel is filled: what must be green, whose it is, who gave what, how strong, and the first roll. */
export default function FillPage() {
  const { params } = useRoute();
  const barrel = barrelBy(params.id ?? '');
  const [filled, setFilled] = useState('');
  if (!barrel) return <Missing what="This barrel is not in the club’s list on this phone." />;
  if (filled) return <Filled barrel={barrel} words={filled} />;
  return <Room key={barrel.id} barrel={barrel} onFilled={setFilled} />;
}

interface RoomProps {
  barrel: ShownBarrel;
  onFilled: (words: string) => void;
}

function Room({ barrel, onFilled }: RoomProps) {
  const mixing = useMemo(() => mixDraft(barrel.id), [barrel.id]);
  const filling = useMemo(() => draftOf<FillDraft>(`fill ${barrel.id}`), [barrel.id]);
  useEffect(
    () => () => {
      void mixing.flush();
      void filling.flush();
    },
    [mixing, filling],
  );
  const now = moment();
  const draft = mixing.value.value;
  if (!mixing.isReady.value || !filling.isReady.value) return <Loading />;
  const known = draft && withVessels(draft, vessels.value);
  const mix = known && tried(known, barrel, now.now_ms);
  if (!draft || !known || !mix) return <NoMix barrel={barrel} />;
  return (
    <Form
      barrel={barrel}
      draft={known}
      mix={mix}
      fill={{ ...NEW_FILL, ...filling.value.value }}
      onDraft={(part) => mixing.save({ ...draft, ...part })}
      onFill={(part) => filling.save({ ...NEW_FILL, ...filling.value.peek(), ...part })}
      onFilled={async (words) => {
        onFilled(words);
        await Promise.all([mixing.clear(), filling.clear()]);
      }}
    />
  );
}

function tried(draft: MixDraft, barrel: ShownBarrel, now_ms: number): Mix | null {
  try {
    return mixOf(draft, barrel, { now_ms, temp_c: placeBy(barrel.place)?.temp_c ?? null, drink_g: drinkG() });
  } catch {
    return null;
  }
}

interface FormProps {
  barrel: ShownBarrel;
  draft: MixDraft;
  mix: Mix;
  fill: FillDraft;
  onDraft: (part: Partial<MixDraft>) => void;
  onFill: (part: Partial<FillDraft>) => void;
  onFilled: (words: string) => void;
}

function Form({ barrel, draft, mix, fill, onDraft, onFill, onFilled }: FormProps) {
  const now = moment();
  const when = useWhenAt(barrel);
  const [notKept, setProblem] = useState('');
  const [wasPressed, setPressed] = useState(false);
  const [isBusy, setBusy] = useState(false);
  const log = logOf(barrel.id).value;
  const suggested = reservationFor(barrel, reservationsOf(barrel.id), now.now_ms);
  const reservation = fill.for_reservation === false ? null : suggested;
  const out = vessels.value.filter((vessel) => draft.parts.some((part) => part.vessel === vessel.id));
  // What came out of a vessel stays its people's, unless somebody says otherwise.
  const theirs = suggestedShares(out.length > 0 ? gaveOf(mix, out) : []);
  const sharers = fill.sharers ?? reservation?.shares ?? theirs.sharers;
  // A reservation is of people; what the club takes for itself is said at the fill.
  const club_weight = fill.sharers ? (fill.club_weight ?? 0) : reservation ? 0 : theirs.club_weight;
  const is_private = fill.is_private ?? bringsPrivate(draft, out);
  const gates = fillGates({
    barrel,
    log,
    draft,
    mix,
    law: (club.value?.law ?? {}) as Record<string, unknown>,
    avoided: people.value
      .filter((person) => sharers.some((share) => share.person === person.id))
      .map((person) => ({ name: person.name, allergens: person.avoid_allergens ?? [] })),
    vessels: vesselTroubles(mix, out),
    moment: now,
  });
  const clear = isClear(gates, fill.accepted);
  const problem = notKept || (wasPressed && !clear ? whyNot(gates, fill.accepted) : '');
  const mayFill = isKeeper() || barrel.owners.some((one) => one.person === myId()) || isSharing(sharers);

  const save = async (): Promise<void> => {
    if (isBusy) return;
    if (!clear) {
      setPressed(true);
      // The plank is pressed at the foot; what stands in the way is said at the head.
      scrollTo(0, 0);
      return;
    }
    const at = when.said();
    if (at === null) return;
    setBusy(true);
    const words = await keepAll(
      fillBodies({ barrel, mix, draft, fill, gates, sharers, club_weight, reservation, is_private }),
      at,
    );
    setBusy(false);
    setProblem(words);
    if (!words) onFilled(fill.is_rolled ? 'Filled, and rolled.' : 'Filled.');
  };

  // Out of a vessel it is its people's already.
  const bought = draft.parts.filter((part) => !part.vessel);
  const lifting = liftingWords(barrel);
  const fire = mix.guards.filter((guard) => ['flammable', 'warm_room', 'ventilate'].includes(guard.code));
  return (
    <Screen
      title={`Fill ${barrel.name}`}
      announce={problem}
      top={{ back: { href: `/barrels/${barrel.id}/mix`, label: 'The mix' }, right: <Fresh /> }}
      sill={
        <Sill
          left={{ label: 'Leave', href: `/barrels/${barrel.id}` }}
          {...(mayFill
            ? {
                act: {
                  label: isBusy ? 'Keeping' : 'Fill it',
                  lit: clear && !isBusy,
                  onPress: () => void save(),
                },
              }
            : {})}
          right={{ label: 'The mix', href: `/barrels/${barrel.id}/mix` }}
        />
      }
    >
      <Section>
        <Title>Fill {barrel.name}</Title>
        <Note>With {draft.name}.</Note>
        <div class="gap4">
          <Say>{makesSentence(mix)}</Say>
        </div>
      </Section>
      {!mayFill && (
        <Section class="gap4">
          <Notice>In this club the keeper fills the barrels. You may prepare it here.</Notice>
        </Section>
      )}
      {problem && (
        <Section class="gap4">
          <Notice tone="red">{problem}</Notice>
        </Section>
      )}
      <Parts
        picture={
          <>
            <Section class="gap5">
              <h2 class="lead b">Before it goes in</h2>
              <GateList
                gates={gates}
                accepted={fill.accepted}
                onChange={(accepted) => onFill({ accepted })}
              />
              {(fire.length > 0 || lifting) && (
                <p class="note ink gap4">
                  {[...fire.map((guard) => guard.reason), lifting].filter(Boolean).join(' ')}
                </p>
              )}
            </Section>
            <Section class="gap6">
              <LessonFor name="fill" drawing={<FillDrawing />} />
            </Section>
          </>
        }
      >
        <Section class="gap6">
          <h2 class="lead b">Whose it is</h2>
          {suggested && (
            <label class="mix__tick">
              <input
                type="checkbox"
                checked={reservation !== null}
                onChange={(event) =>
                  onFill({ for_reservation: event.currentTarget.checked, sharers: null, club_weight: null })
                }
              />
              It is the fill that {personName(suggested.person)} reserved
            </label>
          )}
          <OutOfVessels
            mix={mix}
            vessels={out}
            sharers={sharers}
            club_weight={club_weight}
            onShare={(shared, club) => onFill({ sharers: shared, club_weight: club })}
          />
          <Sharers
            sharers={sharers}
            club_weight={club_weight}
            onChange={(changed, club) => onFill({ sharers: changed, club_weight: club })}
          />
        </Section>
        {bought.length > 0 && (
          <Section class="gap6">
            <h2 class="lead b">Who gave what</h2>
            <div class="stack gap3">
              {bought.map((part) => (
                <Choice
                  key={part.key}
                  label={part.name}
                  options={[
                    { value: '', label: 'The club' },
                    ...people.value
                      .filter(
                        (person) =>
                          person.left_at === null && person.role !== 'tablet' && person.role !== 'sensor',
                      )
                      .map((person) => ({ value: person.id, label: person.name })),
                  ]}
                  value={part.supplied_by ?? ''}
                  onChange={(person) =>
                    onDraft({
                      parts: draft.parts.map((one) =>
                        one.key === part.key ? { ...one, supplied_by: person || null } : one,
                      ),
                    })
                  }
                />
              ))}
            </div>
          </Section>
        )}
        <Section class="gap6">
          <h2 class="lead b">How strong</h2>
          <Strength mix={mix} fill={fill} onFill={onFill} />
        </Section>
        <Section class="gap6">
          <h2 class="lead b">The rest</h2>
          <Rest draft={draft} fill={{ ...fill, is_private }} onFill={onFill} />
          <div class="gap3">
            <WhenField when={when} />
          </div>
        </Section>
      </Parts>
    </Screen>
  );
}

const isSharing = (sharers: readonly { person: string }[]): boolean =>
  club.value?.sharers_may_fill === true && sharers.some((share) => share.person === myId());

function whyNot(gates: readonly Gate[], accepted: readonly string[]): string {
  const first = gates.find(
    (gate) => gate.state === 'shut' || (gate.state === 'open' && !accepted.includes(gate.gate)),
  );
  return first ? `Not yet. ${first.reason}` : '';
}

interface PartProps {
  fill: FillDraft;
  onFill: (part: Partial<FillDraft>) => void;
}

function Strength({ mix, fill, onFill }: PartProps & { mix: Mix }) {
  const reading = readingOf(fill.reading, mix.sugar_g_l);
  return (
    <div class="stack gap3">
      {reading.state !== 'unfit' && (
        <>
          <NumberField
            label="The alcoholmeter shows"
            unit="% vol"
            value={fill.reading.apparent_pct}
            low={0}
            high={100}
            onChange={(apparent_pct) => onFill({ reading: { ...fill.reading, apparent_pct } })}
            onEmpty={() => onFill({ reading: { ...fill.reading, apparent_pct: null } })}
          />
          <NumberField
            label="in liquid of"
            unit="°C"
            value={fill.reading.temp_c}
            low={-20}
            high={40}
            onChange={(temp_c) => onFill({ reading: { ...fill.reading, temp_c } })}
            onEmpty={() => onFill({ reading: { ...fill.reading, temp_c: null } })}
          />
        </>
      )}
      <p class={reading.state === 'read' ? 'ink' : 'note'}>{readingSentence(reading)}</p>
    </div>
  );
}

function Rest({ draft, fill, onFill }: PartProps & { draft: MixDraft }) {
  return (
    <div class="stack gap3">
      <Field
        label="Its name"
        value={fill.name ?? draft.name}
        onInput={(name) => onFill({ name })}
        maxLength={80}
      />
      <NumberField
        label="For about"
        unit="weeks"
        value={fill.weeks ?? (draft.planned_days === null ? null : draft.planned_days / 7)}
        low={1}
        high={520}
        onChange={(weeks) => onFill({ weeks })}
        onEmpty={() => onFill({ weeks: null })}
      />
      <label class="mix__tick">
        <input
          type="checkbox"
          checked={fill.is_private === true}
          onChange={(event) => onFill({ is_private: event.currentTarget.checked })}
        />
        Private: only its sharers and the keepers see what it is
      </label>
      {!fill.is_private && (
        <label class="mix__tick">
          <input
            type="checkbox"
            checked={fill.open_to_tasting}
            onChange={(event) => onFill({ open_to_tasting: event.currentTarget.checked })}
          />
          Every member may taste it
        </label>
      )}
      <label class="mix__tick">
        <input
          type="checkbox"
          checked={fill.is_rolled}
          onChange={(event) => onFill({ is_rolled: event.currentTarget.checked })}
        />
        Rolled once round in the same sitting, bung up
      </label>
    </div>
  );
}

function NoMix({ barrel }: { barrel: ShownBarrel }) {
  return (
    <Screen
      title={`Fill ${barrel.name}`}
      top={{ back: { href: `/barrels/${barrel.id}`, label: barrel.name }, right: <Fresh /> }}
      sill={<Sill act={{ label: 'Mix first', href: `/barrels/${barrel.id}/mix` }} />}
    >
      <Section>
        <Title>Fill {barrel.name}</Title>
        <Note>First say what goes in.</Note>
      </Section>
    </Screen>
  );
}

function Filled({ barrel, words }: { barrel: ShownBarrel; words: string }) {
  const { pathname } = location;
  useEffect(() => scrollTo(0, 0), [pathname]);
  return (
    <Screen
      title={`${barrel.name} is filled`}
      announce={`${words} ${keptWords()}`}
      top={{ back: { href: `/barrels/${barrel.id}`, label: barrel.name }, right: <Fresh /> }}
      sill={<Sill act={{ label: 'Done', href: `/barrels/${barrel.id}` }} />}
    >
      <Section>
        <Title>{barrel.name} is filled.</Title>
        <p class="ok tick lead gap4">
          {words} {keptWords()}
        </p>
        <p class="note gap4">
          Wipe it dry and look for beads tomorrow and the two days after. Its first taste comes on the walk.
        </p>
      </Section>
    </Screen>
  );
}
