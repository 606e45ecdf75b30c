import { useState } from 'preact/hooks';
import type { TroubleLine } from '~/api/types.ts';
import { Choice } from '~/components/choice/index.tsx';
import { Field } from '~/components/field/index.tsx';
import { Notice } from '~/components/notice/index.tsx';
import { Press } from '~/components/press/index.tsx';
import type { Bodies } from '~/outbox/bodies.ts';
import type { ShownBarrel } from '~/outbox/overlay.ts';
import { moment } from '../parts/clock.ts';
import { keep, keptWords } from '../parts/keep.ts';
import { isKeeper, myId } from '../parts/me.ts';
import { useWhen, WhenField } from '../parts/when.tsx';
import { diagnosisOf } from '../words/diagnosis.ts';
import { litres } from '../words/numbers.ts';
import { nearDayOf } from '../words/time.ts';
import { troubleKind, troubleNote, troubleVerdict } from '../words/trouble.ts';
import { typedNumber } from '../words/typed.ts';

type Outcome = Bodies['trouble-settlements']['outcome'];

const OUTCOMES: { value: Outcome; label: string }[] = [
  { value: 'mended', label: 'Mended' },
  { value: 'sound', label: 'Nothing was wrong' },
  { value: 'found', label: 'It was found again' },
  { value: 'rescued', label: 'The fill was rescued into a vessel' },
  { value: 'part_lost', label: 'Part of it was lost; the fill goes on' },
  { value: 'all_lost', label: 'All of it was lost' },
];

/** The outcomes that this barrel can have. */
function outcomesOf(barrel: ShownBarrel, trouble: TroubleLine): { value: Outcome; label: string }[] {
  const isFill = barrel.contents?.kind === 'fill';
  return OUTCOMES.filter(
    ({ value }) =>
      (isFill || (value !== 'rescued' && value !== 'part_lost')) &&
      (trouble.kind === 'missing' || value !== 'found'),
  );
}

/** Trouble that stands, and for the keeper how it ended. */
export function Standing({ barrel, onSaid }: { barrel: ShownBarrel; onSaid: (words: string) => void }) {
  const now = moment();
  const maySettle = isKeeper() || barrel.owners.some((share) => share.person === myId());
  return (
    <>
      {barrel.troubles.map((trouble) => {
        const found = diagnosisOf(trouble.sign);
        return (
          <div key={trouble.id} class="gap4">
            <Notice tone="red">
              <p class="b">{troubleVerdict(trouble.kind)}</p>
              <p>
                Since {nearDayOf(Date.parse(trouble.since), now)}. {found ? `${found.label}. ` : ''}
                {troubleNote(trouble)}
                {trouble.quarantine && ' No tasting until the keeper clears it.'}
              </p>
              <ol class="trouble__steps note gap2">
                {(found?.steps ?? troubleKind(trouble.kind)?.steps ?? []).map((step) => (
                  <li key={step}>{step}</li>
                ))}
              </ol>
              {found?.retireIf && <p class="note">Let go of it if: {found.retireIf}</p>}
              {maySettle && <Settle barrel={barrel} trouble={trouble} onSaid={onSaid} />}
            </Notice>
          </div>
        );
      })}
    </>
  );
}

interface SettleProps {
  barrel: ShownBarrel;
  trouble: TroubleLine;
  onSaid: (words: string) => void;
}

function Settle({ barrel, trouble, onSaid }: SettleProps) {
  const [outcome, setOutcome] = useState<Outcome>(trouble.kind === 'missing' ? 'found' : 'mended');
  const [amount, setAmount] = useState('');
  const [vessel, setVessel] = useState('');
  const [note, setNote] = useState('');
  const when = useWhen(Date.parse(trouble.since));
  const [wrong, setWrong] = useState<{ amount?: string; kept?: string }>({});
  const asksLitres = outcome === 'rescued' || outcome === 'part_lost';
  const most_l = 1.1 * barrel.capacity_l;
  const settle = async (): Promise<void> => {
    const volume_l = typedNumber(amount);
    if (asksLitres && (volume_l === null || volume_l <= 0 || volume_l > most_l)) {
      setWrong({ amount: outcome === 'rescued' ? 'How much was rescued?' : 'How much was lost?' });
      return;
    }
    const at = when.said();
    if (at === null) return;
    const kept = await keep('trouble-settlements', {
      barrel: barrel.id,
      trouble: trouble.id,
      outcome,
      ...(asksLitres ? { volume_l: volume_l! } : {}),
      ...(outcome === 'rescued' && vessel.trim() ? { vessel_name: vessel.trim() } : {}),
      ...(note.trim() ? { cause: note.trim() } : {}),
      ...at,
    });
    if (kept.ok) onSaid(`Settled. ${keptWords()} Everybody concerned is told.`);
    else setWrong({ kept: kept.words });
  };
  return (
    <div class="stack gap4">
      <Choice
        label="How it ended"
        options={outcomesOf(barrel, trouble)}
        value={outcome}
        onChange={(value) => setOutcome(value as Outcome)}
      />
      {asksLitres && (
        <Field
          label={outcome === 'rescued' ? 'Litres in the vessel' : 'Litres lost'}
          inputMode="decimal"
          unit="L"
          value={amount}
          onInput={setAmount}
          error={wrong.amount}
          allowed={wrong.amount ? `more than 0, up to ${litres(most_l)}` : undefined}
          {...(outcome === 'rescued'
            ? { hint: 'Glass or steel that was washed. No flame near it: the vapour burns.' }
            : {})}
        />
      )}
      {outcome === 'rescued' && (
        <Field label="The vessel" value={vessel} onInput={setVessel} maxLength={60} hint="As: demijohn 2" />
      )}
      <Field
        label={outcome === 'mended' || outcome === 'sound' ? 'What was done' : 'The cause'}
        value={note}
        onInput={setNote}
        maxLength={300}
      />
      {(outcome === 'all_lost' || outcome === 'rescued') && (
        <p class="note">This ends what is in {barrel.name}.</p>
      )}
      <WhenField when={when} />
      {wrong.kept && <p class="red">{wrong.kept}</p>}
      <Press onPress={() => void settle()}>Settle it</Press>
    </div>
  );
}
