import { useState } from 'preact/hooks';
import { Field } from '~/components/field/index.tsx';
import { PressGroup } from '~/components/press-group/index.tsx';
import { Sheet } from '~/components/sheet/index.tsx';
import { UNIT_OPTIONS } from '../words/mix.ts';
import type { MixDraft } from '../words/mix-plan.ts';
import { typedNumber } from '../words/typed.ts';

interface UnitsSheetProps {
  draft: MixDraft;
  onChange: (part: Partial<MixDraft>) => void;
  onClose: () => void;
}

/** How amounts are said and measured, how full the barrel gets, and what is kept back for the wood. */
export function UnitsSheet({ draft, onChange, onClose }: UnitsSheetProps) {
  const [headroom, setHeadroom] = useState(String(draft.headroom_pct));
  const [temp, setTemp] = useState(String(draft.temp_c));
  const room = typedNumber(headroom);
  const warmth = typedNumber(temp);
  const isRoom = room !== null && room >= 0 && room <= 50;
  const isWarmth = warmth !== null && warmth >= -5 && warmth <= 40;
  return (
    <Sheet open onClose={onClose} title="Units" closeLabel="Done">
      <div class="stack">
        <PressGroup
          label="Amounts in"
          options={UNIT_OPTIONS}
          value={draft.unit}
          onChange={(unit) => unit && onChange({ unit })}
        />
        <PressGroup
          label="Measured"
          options={[
            { value: 'volume', label: 'By volume' },
            { value: 'weight', label: 'By weight' },
          ]}
          value={draft.by}
          onChange={(by) => by && onChange({ by })}
        />
        <p class="note">A scale is nearer than a jug, and does not care how warm the liquid is.</p>
        <Field
          label="Left empty, so that it can swell"
          inputMode="decimal"
          unit="%"
          value={headroom}
          onInput={(text) => {
            setHeadroom(text);
            const typed = typedNumber(text);
            if (typed !== null && typed >= 0 && typed <= 50) onChange({ headroom_pct: typed });
          }}
          error={isRoom ? undefined : 'A barrel is filled at least half.'}
          allowed={isRoom ? undefined : '0 to 50 %'}
        />
        {draft.by === 'volume' && (
          <Field
            label="The liquids are at"
            inputMode="decimal"
            unit="°C"
            value={temp}
            onInput={(text) => {
              setTemp(text);
              const typed = typedNumber(text);
              if (typed !== null && typed >= -5 && typed <= 40) onChange({ temp_c: typed });
            }}
            error={isWarmth ? undefined : 'No spirit is poured like that.'}
            allowed={isWarmth ? undefined : '−5 to 40 °C'}
            hint="Cold liquid takes less room; volumes are counted at 20 °C."
          />
        )}
        <label class="mix__tick">
          <input
            type="checkbox"
            checked={draft.keep_back}
            onChange={(event) => onChange({ keep_back: event.currentTarget.checked })}
          />
          Mix what the wood will drink as well, and keep it in glass
        </label>
      </div>
    </Sheet>
  );
}
