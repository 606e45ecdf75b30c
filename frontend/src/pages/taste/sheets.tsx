import { useState } from 'preact/hooks';
import { Field } from '~/components/field/index.tsx';
import { Press } from '~/components/press/index.tsx';
import { ScoreField } from '~/components/rod/index.tsx';
import { Sheet } from '~/components/sheet/index.tsx';
import { isAlarming, OFF_NOTES, type TasteDraft } from '../words/taste.ts';
import { typedNumber } from '../words/typed.ts';

export interface SheetProps {
  draft: TasteDraft;
  onChange: (part: Partial<TasteDraft>) => void;
  onClose: () => void;
}

/** What is wrong with it, ticked. */
export function OffSheet({ draft, onChange, onClose }: SheetProps) {
  return (
    <Sheet open onClose={onClose} title="Something off?" closeLabel="Done">
      <fieldset class="taste__ticks">
        <legend class="note">Tick what you smell or taste.</legend>
        {OFF_NOTES.map(({ value, label }) => (
          <label key={value} class="taste__tick">
            <input
              type="checkbox"
              checked={draft.off_notes.includes(value)}
              onChange={(event) => {
                const others = draft.off_notes.filter((note) => note !== value);
                onChange({ off_notes: event.currentTarget.checked ? [...others, value] : others });
              }}
            />
            {label}
          </label>
        ))}
      </fieldset>
      {isAlarming(draft.off_notes) && (
        <p class="note ink">Stop here and do not swallow it. The keeper will look at the barrel.</p>
      )}
    </Sheet>
  );
}

/** The same score to a tenth, the sample and how it was served, a line of text, and the way to the full profile. */
export function MoreSheet({ draft, onChange, onClose, onProfile }: SheetProps & { onProfile: () => void }) {
  const [sample, setSample] = useState(draft.sample_ml > 0 ? String(draft.sample_ml) : '');
  const [wrong, setWrong] = useState('');
  const strength = draft.strength ?? '';
  const served = typedNumber(strength);
  const isStrength = strength.trim() === '' || (served !== null && served >= 0 && served <= 100);
  const noted = Object.keys(draft.profile ?? {}).length;
  return (
    <Sheet open onClose={onClose} title="Say more" closeLabel="Done">
      <div class="stack">
        <ScoreField
          value={draft.liking}
          onChange={(liking) => {
            if (liking !== undefined) onChange({ liking });
          }}
        />
        <Field
          label="Your sample"
          inputMode="decimal"
          unit="mL"
          value={sample}
          onInput={(text) => {
            setSample(text);
            const typed = typedNumber(text);
            if (typed === null || typed < 0 || typed > 500) setWrong('That is no sample.');
            else {
              setWrong('');
              onChange({ sample_ml: typed });
            }
          }}
          error={wrong}
          allowed={wrong ? '0 to 500 mL' : undefined}
        />
        <label class="taste__tick">
          <input
            type="checkbox"
            checked={draft.is_spat === true}
            onChange={(event) => onChange({ is_spat: event.currentTarget.checked })}
          />
          I spat it out
        </label>
        <Field
          label="Let down with water to"
          inputMode="decimal"
          unit="% vol"
          value={strength}
          onInput={(text) => onChange({ strength: text })}
          hint="Leave it empty if you tasted it as it came from the barrel."
          error={isStrength ? undefined : 'That is no strength.'}
          allowed={isStrength ? undefined : '0 to 100 % vol'}
        />
        <Press full onPress={onProfile}>
          {noted > 0 ? `The full profile: ${noted} noted` : 'The full profile'}
        </Press>
        <Field
          label="A note"
          multiline
          maxLength={2000}
          value={draft.note}
          onInput={(note) => onChange({ note })}
          hint="What it tastes of, in your own words."
        />
      </div>
    </Sheet>
  );
}

/** A sample that takes much of a small barrel is asked for twice. */
export function AskAgain({
  words,
  onSure,
  onClose,
}: {
  words: string;
  onSure: () => void;
  onClose: () => void;
}) {
  return (
    <Sheet open onClose={onClose} title="So much of it?" closeLabel="Leave it">
      <p>{words}</p>
      <p class="gap4">
        <Press tone="go" full onPress={onSure}>
          Save all the same
        </Press>
      </p>
    </Sheet>
  );
}
