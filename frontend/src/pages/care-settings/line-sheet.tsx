import { useState } from 'preact/hooks';
import { Field } from '~/components/field/index.tsx';
import { Press } from '~/components/press/index.tsx';
import { PressGroup } from '~/components/press-group/index.tsx';
import { Sheet } from '~/components/sheet/index.tsx';
import {
  boundsOf,
  type CareLineSetting,
  hoursWords,
  labelOf,
  lineSentence,
  lineTitle,
  PERIODS,
  type Period,
  type Periods,
  typedHours,
} from '../words/care-settings.ts';
import { typedNumber } from '../words/typed.ts';

type Unit = 'hours' | 'days';

const asTyped = (hours: number | null, unit: Unit): string =>
  hours === null ? '' : String(Number((Math.abs(hours) / (unit === 'days' ? 24 : 1)).toFixed(2)));

interface LineSheetProps {
  line: CareLineSetting;
  onClose: () => void;
  onSet: (periods: Partial<Periods>) => void;
}

/** The periods of one line, typed in hours or days. */
export function LineSheet({ line, onClose, onSet }: LineSheetProps) {
  const [unit, setUnit] = useState<Unit>(
    (line.every_hours ?? line.first_hours) % 24 === 0 ? 'days' : 'hours',
  );
  const [typed, setTyped] = useState<Partial<Record<Period, string>>>({});
  const [wrong, setWrong] = useState<Partial<Record<Period, string>>>({});
  const shown = PERIODS.filter((period) => line.usual[period] !== null);

  const set = (event: Event): void => {
    event.preventDefault();
    const found: Partial<Record<Period, string>> = {};
    const periods: Partial<Periods> = {};
    for (const period of shown) {
      const text = typed[period];
      const hours = text === undefined ? line[period] : typedHours(line, period, typedNumber(text), unit);
      if (hours === null) found[period] = 'That is no such length.';
      else periods[period] = hours;
    }
    setWrong(found);
    if (Object.keys(found).length === 0) onSet(periods);
  };

  const turn = (next: Unit): void => {
    // What was typed keeps its length when the unit turns.
    const turned = Object.fromEntries(
      Object.entries(typed).map(([period, text]) => {
        const value = typedNumber(text ?? '');
        return [period, value === null ? text : asTyped(value * (unit === 'days' ? 24 : 1), next)];
      }),
    );
    setTyped(turned);
    setUnit(next);
  };

  return (
    <Sheet open onClose={onClose} title={lineTitle(line)} closeLabel="Leave it">
      <form class="stack" onSubmit={set} noValidate>
        <p class="note">Usually: {lineSentence({ ...line, ...line.usual })}</p>
        <PressGroup
          label="Typed in"
          options={[
            { value: 'days', label: 'Days' },
            { value: 'hours', label: 'Hours' },
          ]}
          value={unit}
          onChange={(value) => turn((value as Unit | undefined) ?? unit)}
        />
        {shown.map((period) => {
          const { low, high } = boundsOf(period);
          return (
            <Field
              key={period}
              label={labelOf(line, period)}
              inputMode="decimal"
              unit={unit}
              value={typed[period] ?? asTyped(line[period], unit)}
              onInput={(text) => setTyped({ ...typed, [period]: text })}
              error={wrong[period]}
              allowed={wrong[period] ? `${hoursWords(low)} to ${hoursWords(high)}` : undefined}
            />
          );
        })}
        <Press type="submit" tone="go" full>
          Set it
        </Press>
        {line.is_changed && (
          <Press full onPress={() => onSet(line.usual)}>
            As usual
          </Press>
        )}
      </form>
    </Sheet>
  );
}
