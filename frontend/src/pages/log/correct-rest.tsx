import type { OffNote, TendingTask } from '~/api/types.ts';
import { Field } from '~/components/field/index.tsx';
import { PressGroup } from '~/components/press-group/index.tsx';
import { Ticks } from '../parts/ticks.tsx';
import type { SaidVerdict } from '../words/correct.ts';
import { DONE } from '../words/log.ts';
import { capital, litres } from '../words/numbers.ts';
import { isAlarming, OAK_CHOICES, OFF_NOTES } from '../words/taste.ts';
import type { SayProps } from './correct-fill.tsx';

/** Oak and off-notes of a taste. */
export function CorrectTaste({ body, onChange }: SayProps) {
  const off = Array.isArray(body.off_notes) ? (body.off_notes as OffNote[]) : [];
  return (
    <>
      <PressGroup
        label="Oak"
        none
        value={typeof body.oak === 'number' ? String(body.oak) : undefined}
        onChange={(oak) => onChange({ oak: oak === undefined ? undefined : Number(oak) })}
        options={OAK_CHOICES}
      />
      <Ticks
        label="Something off"
        options={OFF_NOTES}
        value={off}
        onChange={(off_notes) => onChange({ off_notes })}
      />
      {isAlarming(off) && <p class="note ink">Do not drink of it. The keeper will look at the barrel.</p>}
    </>
  );
}

const TASKS = Object.entries(DONE).map(([value, label]) => ({ value, label: capital(label) }));

/** What was done on one visit. */
export function CorrectTending({ body, onChange }: SayProps) {
  return (
    <Ticks
      label="What was done"
      options={TASKS}
      value={Array.isArray(body.tasks) ? (body.tasks as TendingTask[]) : []}
      onChange={(tasks) => onChange({ tasks })}
    />
  );
}

interface VerdictProps {
  said: SaidVerdict;
  weighed_l: number | null;
  onChange: (said: SaidVerdict) => void;
}

/** Tight or given up, with the weights that make its capacity. */
export function CorrectVerdict({ said, weighed_l, onChange }: VerdictProps) {
  return (
    <>
      <PressGroup
        label="How did the curing end?"
        value={said.verdict}
        onChange={(verdict) => onChange({ ...said, verdict: verdict ?? said.verdict })}
        options={[
          { value: 'tight', label: 'Tight' },
          { value: 'given_up', label: 'Given up' },
        ]}
      />
      {said.verdict === 'given_up' && (
        <Field
          label="Why"
          value={said.reason}
          onInput={(reason) => onChange({ ...said, reason })}
          maxLength={300}
        />
      )}
      <Field
        label="Full of water"
        inputMode="decimal"
        unit="kg"
        value={said.full}
        onInput={(full) => onChange({ ...said, full })}
      />
      <Field
        label="Drained, the wood wet"
        inputMode="decimal"
        unit="kg"
        value={said.wet}
        onInput={(wet) => onChange({ ...said, wet })}
      />
      <Field
        label="The water’s temperature"
        inputMode="decimal"
        unit="°C"
        value={said.temp}
        onInput={(temp) => onChange({ ...said, temp })}
        hint="20 °C if you leave it."
      />
      {weighed_l !== null && (
        <p class="reck" aria-live="polite">
          It holds {litres(weighed_l, 3)}, by weight.
        </p>
      )}
    </>
  );
}
