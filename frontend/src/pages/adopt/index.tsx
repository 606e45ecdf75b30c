import { useState } from 'preact/hooks';
import { Choice } from '~/components/choice/index.tsx';
import { Field } from '~/components/field/index.tsx';
import { Notice } from '~/components/notice/index.tsx';
import { Press } from '~/components/press/index.tsx';
import { PressGroup } from '~/components/press-group/index.tsx';
import { Screen } from '~/components/screen/index.tsx';
import { Section } from '~/components/section/index.tsx';
import { Sill } from '~/components/sill/index.tsx';
import { Title } from '~/components/words/index.tsx';
import type { Bodies } from '~/outbox/bodies.ts';
import { barrels, places } from '~/outbox/overlay.ts';
import { newTagCode } from '~/science/tag-make.ts';
import { AdoptDrawing } from '../lessons/adopt.tsx';
import { Fresh } from '../parts/fresh.tsx';
import { keep, keptWords } from '../parts/keep.ts';
import { LessonFor } from '../parts/lesson-for.tsx';
import { isKeeper } from '../parts/me.ts';
import { NotAllowed } from '../parts/missing.tsx';
import { AllergensBefore, BungTight, MeasureFields } from '../parts/register-fields.tsx';
import { Ticks } from '../parts/ticks.tsx';
import { USED, usedRange, usedWords } from '../words/adopt.ts';
import { FAMILIES } from '../words/barrel.ts';
import { measuresBody, measuresWrong, NO_MEASURES, type Wrong } from '../words/register.ts';
import { typedNumber } from '../words/typed.ts';

/** A barrel taken into the club: new, or old and adopted as it was found. */
export default function AdoptPage() {
  if (!isKeeper())
    return <NotAllowed title="A barrel for the club" words="Only the keeper registers a barrel." />;
  return <Room />;
}

/** Stands for a room that the club has not named yet. */
const ANOTHER = 'another';

function Room() {
  const [name, setName] = useState('');
  const [size, setSize] = useState('');
  const [place, setPlace] = useState(places.value[0]?.id ?? ANOTHER);
  const [room, setRoom] = useState('');
  const [wood, setWood] = useState('');
  const [char, setChar] = useState('');
  const [used, setUsed] = useState('new');
  const [families, setFamilies] = useState<string[]>([]);
  const [allergens, setAllergens] = useState<string[]>([]);
  const [measures, setMeasures] = useState(NO_MEASURES);
  const [bungTight, setBungTight] = useState(false);
  const [code] = useState(() =>
    newTagCode(
      new Set(
        barrels.value.flatMap((one) => [one.tag_code, ...one.former_tags.map((former) => former.code)]),
      ),
    ),
  );
  const [wrong, setWrong] = useState<Wrong & { size?: string; room?: string; kept?: string }>({});
  const [made, setMade] = useState<{ id: string; name: string } | null>(null);
  const isOld = used !== 'new';

  const save = async (): Promise<void> => {
    const nominal_l = typedNumber(size);
    const taken = barrels.value.some((one) => one.name.toLowerCase() === name.trim().toLowerCase());
    const found = {
      ...(name.trim() === ''
        ? { name: 'Give it a name.' }
        : taken
          ? { name: 'Another barrel has that name.' }
          : {}),
      ...(nominal_l === null || nominal_l < 0.5 || nominal_l > 350 ? { size: 'How many litres?' } : {}),
      ...(place === ANOTHER && room.trim() === '' ? { room: 'Name the room.' } : {}),
      ...measuresWrong(measures, { nominal_l, weighed_l: null }),
    };
    setWrong(found);
    if (Object.keys(found).length > 0) return;
    const range = usedRange(used);
    const measured = Object.entries(measuresBody(measures)).filter(([, figure]) => figure !== null);
    const known = places.value.find((one) => one.name.toLowerCase() === room.trim().toLowerCase());
    let stands = place;
    if (place === ANOTHER && known) stands = known.id;
    else if (place === ANOTHER) {
      const order = Math.max(0, ...places.value.map((one) => one.walking_order)) + 1;
      const named = await keep('places', { name: room.trim(), walking_order: order });
      if (!named.ok) {
        setWrong({ kept: named.words });
        return;
      }
      stands = named.recorded.id;
      // A second press must not name the room twice.
      setPlace(stands);
    }
    const body: Bodies['barrels'] = {
      name: name.trim(),
      place: stands,
      nominal_l: nominal_l!,
      tag_code: code,
      ...(wood.trim() ? { wood: wood.trim() } : {}),
      ...(char.trim() ? { char: char.trim() } : {}),
      ...(bungTight ? { bung_tight: true } : {}),
      ...Object.fromEntries(measured),
      ...(isOld
        ? {
            adopted: true,
            adopted_wood_used_low: range.low,
            adopted_wood_used_high: range.high,
            adopted_families: families as NonNullable<Bodies['barrels']['adopted_families']>,
            adopted_allergens: allergens as NonNullable<Bodies['barrels']['adopted_allergens']>,
          }
        : {}),
    };
    const kept = await keep('barrels', body);
    if (kept.ok) {
      setMade({ id: kept.recorded.id, name: name.trim() });
      scrollTo(0, 0);
    } else setWrong({ kept: kept.words });
  };

  const top = { back: { href: '/barrels', label: 'Barrels' }, right: <Fresh /> };
  if (made) {
    return (
      <Screen
        title={made.name}
        announce={`${made.name} is in the club.`}
        top={top}
        sill={<Sill act={{ label: 'Open it', href: `/barrels/${made.id}` }} />}
      >
        <Section>
          <Title>{made.name}</Title>
          <p class="ok tick gap3">In the club. {keptWords()}</p>
          <p class="gap4">Write its tag on it:</p>
          <p class="figure-mark">{code}</p>
          <div class="stack gap5">
            <Press href={`/barrels/${made.id}/curing`}>It is dry: cure it</Press>
            <Press href={`/barrels/${made.id}/hold`}>It is wet: hold it wet</Press>
            {isOld && <Press href={`/barrels/${made.id}/mix`}>It is full: say what is in it</Press>}
          </div>
        </Section>
      </Screen>
    );
  }
  return (
    <Screen
      title="A barrel for the club"
      announce={Object.values(wrong)[0] ?? ''}
      top={top}
      sill={
        <Sill
          left={{ label: 'Leave', href: '/barrels' }}
          act={{
            label: isOld ? 'Adopt it' : 'Register it',
            lit: name.trim() !== '' && size.trim() !== '',
            onPress: () => void save(),
          }}
        />
      }
    >
      <Section>
        <Title>A barrel for the club</Title>
      </Section>
      <Section class="gap4">
        <div class="stack">
          <LessonFor name="adopt" drawing={<AdoptDrawing />} />
          <Field label="Its name" value={name} onInput={setName} maxLength={60} error={wrong.name} />
          <Field
            label="What it holds"
            inputMode="decimal"
            unit="L"
            value={size}
            onInput={setSize}
            error={wrong.size}
            allowed={wrong.size ? '0.5 to 350 L' : undefined}
            hint="By the maker, or as you guess; two weights make it true later."
          />
          <Choice
            label="Where it stands"
            value={place}
            onChange={setPlace}
            options={[
              ...places.value.map((one) => ({ value: one.id, label: one.name })),
              { value: ANOTHER, label: places.value.length > 0 ? 'Another room' : 'A room, named below' },
            ]}
          />
          {place === ANOTHER && (
            <Field
              label="The room’s name"
              value={room}
              onInput={setRoom}
              maxLength={60}
              error={wrong.room}
              hint="As your members call it: cellar, loft, bar. Its climate is read on the walk."
            />
          )}
          <Field label="Wood" value={wood} onInput={setWood} maxLength={60} hint="As: American white oak" />
          <Field label="Char or toast" value={char} onInput={setChar} maxLength={60} hint="As: medium char" />
          <PressGroup
            label="What did it hold before?"
            options={USED.map((one) => ({ value: one.value, label: one.label }))}
            value={used}
            onChange={(value) => setUsed(value ?? 'new')}
          />
          {isOld && (
            <>
              <p class="note">
                Adopted as found. What is not known stays a range: {usedWords(usedRange(used))}
              </p>
              <Ticks
                isLead
                label="Kinds of drink it is known to have held"
                options={Object.entries(FAMILIES).map(([value, words]) => ({ value, label: words }))}
                value={families}
                onChange={setFamilies}
              />
              <AllergensBefore label="Allergens it may have held" value={allergens} onChange={setAllergens} />
            </>
          )}
          <details open={Object.keys(wrong).some((name) => name in NO_MEASURES) || undefined}>
            <summary class="link">Its measures and its bung</summary>
            <div class="stack gap3">
              <MeasureFields draft={measures} wrong={wrong} onChange={setMeasures} />
              <BungTight value={bungTight} onChange={setBungTight} />
            </div>
          </details>
          {wrong.kept && <Notice tone="red">{wrong.kept}</Notice>}
        </div>
      </Section>
    </Screen>
  );
}
