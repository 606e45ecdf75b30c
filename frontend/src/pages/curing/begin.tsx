import { useState } from 'preact/hooks';
import { Field } from '~/components/field/index.tsx';
import { Notice } from '~/components/notice/index.tsx';
import { Press } from '~/components/press/index.tsx';
import { Section } from '~/components/section/index.tsx';
import { Say, Title } from '~/components/words/index.tsx';
import type { Bodies } from '~/outbox/bodies.ts';
import type { ShownBarrel } from '~/outbox/overlay.ts';
import { CuringDrawing } from '../lessons/curing.tsx';
import { keep } from '../parts/keep.ts';
import { LessonFor } from '../parts/lesson-for.tsx';
import { Ticks } from '../parts/ticks.tsx';
import { useWhenAt, WhenField } from '../parts/when.tsx';
import { liftingWords } from '../words/barrel.ts';
import { INSPECTED } from '../words/curing.ts';
import { litres } from '../words/numbers.ts';
import { typedNumber } from '../words/typed.ts';

type Inspected = NonNullable<Bodies['curings']['inspected']>[number];

/** Before the first water: what is looked at, its dry weight, the rinses, and half a barrel. */
export function Begin({ barrel, onSaid }: { barrel: ShownBarrel; onSaid: (words: string) => void }) {
  const when = useWhenAt(barrel);
  const [sound, setSound] = useState<string[]>([]);
  const [dry, setDry] = useState('');
  const [rinses, setRinses] = useState('');
  const [water, setWater] = useState(String(Number((barrel.capacity_l / 2).toFixed(2))));
  const [wrong, setWrong] = useState<{ dry?: string; rinses?: string; water?: string; kept?: string }>({});
  const missing = INSPECTED.filter((one) => !sound.includes(one.value));
  const save = async (event: Event): Promise<void> => {
    event.preventDefault();
    const [dry_kg, count, water_l] = [typedNumber(dry), typedNumber(rinses), typedNumber(water)];
    const found = {
      ...(dry.trim() && (dry_kg === null || dry_kg <= 0 || dry_kg > 1000)
        ? { dry: 'That is no weight.' }
        : {}),
      ...(rinses.trim() && (count === null || count < 0 || count > 20 || count % 1 !== 0)
        ? { rinses: 'A whole number, 0 to 20.' }
        : {}),
      ...(water_l === null || water_l <= 0 || water_l > 1.1 * barrel.capacity_l
        ? { water: `It holds ${litres(barrel.capacity_l)}.` }
        : {}),
    };
    setWrong(found);
    const at = when.said();
    if (Object.keys(found).length > 0 || at === null) return;
    const kept = await keep('curings', {
      ...at,
      barrel: barrel.id,
      water_l: water_l!,
      inspected: INSPECTED.filter((one) => sound.includes(one.value)).map((one) => one.value as Inspected),
      ...(dry_kg === null ? {} : { dry_mass_kg: dry_kg }),
      ...(count === null ? {} : { rinses: count }),
    });
    if (kept.ok) onSaid('Curing begun.');
    else setWrong({ kept: kept.words });
  };
  const lifting = liftingWords(barrel);
  return (
    <>
      <Section>
        <Title>Cure {barrel.name}</Title>
        <div class="gap4">
          <LessonFor name="curing" drawing={<CuringDrawing />} />
        </div>
      </Section>
      <Section class="gap5">
        <form class="stack" onSubmit={(event) => void save(event)} noValidate>
          <Ticks
            isLead
            label="Look at it dry. Tick what is sound."
            options={INSPECTED}
            value={sound}
            onChange={setSound}
          />
          <Field
            label="Empty and dry"
            inputMode="decimal"
            unit="kg"
            value={dry}
            onInput={setDry}
            error={wrong.dry}
            hint="If there is a scale. It tells later how much the wood drank."
          />
          <Field
            label="Rinses until it ran clear"
            inputMode="numeric"
            value={rinses}
            onInput={setRinses}
            error={wrong.rinses}
            hint="Two to five, without chlorine, emptied through the bung: char blocks the spigot."
          />
          <Field
            label="Water poured in"
            inputMode="decimal"
            unit="L"
            value={water}
            onInput={setWater}
            error={wrong.water}
            hint="Half first, so that leaks are small. Cold, on a tray, the bung in; then roll it."
          />
          <WhenField when={when} />
          {lifting && <p class="note ink">{lifting}</p>}
          {missing.length > 0 && sound.length > 0 && (
            <Say as="p">
              A crack, a worm hole or light through a joint: do not fill it, ask the maker for another.
            </Say>
          )}
          {wrong.kept && <Notice tone="red">{wrong.kept}</Notice>}
          <Press type="submit" tone="go" full>
            Begin curing
          </Press>
        </form>
      </Section>
    </>
  );
}
