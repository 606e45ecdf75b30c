import { useState } from 'preact/hooks';
import { Choice } from '~/components/choice/index.tsx';
import { Field } from '~/components/field/index.tsx';
import { Press } from '~/components/press/index.tsx';
import { Sheet } from '~/components/sheet/index.tsx';
import { type MixDraft, plainMix } from '../words/mix-plan.ts';
import { FILL_KINDS } from '../words/reserve.ts';
import { typedNumber } from '../words/typed.ts';

interface PlainSheetProps {
  onClose: () => void;
  onChosen: (draft: MixDraft) => void;
}

/** One spirit by its label: the whole of a mix, or what tops another up. */
export function PlainSheet({ onClose, onChosen }: PlainSheetProps) {
  const [name, setName] = useState('');
  const [kind, setKind] = useState(FILL_KINDS[0]?.value ?? '');
  const [strength, setStrength] = useState('');
  const [wrong, setWrong] = useState<{ name?: string; strength?: string }>({});
  const take = (event: Event): void => {
    event.preventDefault();
    const abv = typedNumber(strength);
    const found = {
      ...(name.trim() === '' ? { name: 'It needs a name, as it will stand in the log.' } : {}),
      ...(abv === null || abv < 0 || abv > 97 ? { strength: 'That is no strength of a spirit.' } : {}),
    };
    setWrong(found);
    const chosen = FILL_KINDS.find((one) => one.value === kind);
    if (Object.keys(found).length > 0 || !chosen || abv === null) return;
    onChosen(plainMix(name.trim(), chosen.spirit, chosen.family, abv));
  };
  return (
    <Sheet open onClose={onClose} title="A plain spirit" closeLabel="Leave it">
      <form class="stack" onSubmit={take} noValidate>
        <Field label="Its name" value={name} onInput={setName} maxLength={80} error={wrong.name} />
        <Choice label="What it is" value={kind} onChange={setKind} options={FILL_KINDS} />
        <Field
          label="Strength on its label"
          inputMode="decimal"
          unit="% vol"
          value={strength}
          onInput={setStrength}
          error={wrong.strength}
          allowed={wrong.strength ? '0 to 97 % vol' : undefined}
        />
        <Press type="submit" tone="go" full>
          Take it
        </Press>
      </form>
    </Sheet>
  );
}
