import './style.css';
import { useState } from 'preact/hooks';
import { useRoute } from 'preact-iso';
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
import { barrelBy, type ShownBarrel } from '~/outbox/overlay.ts';
import { moment } from '../parts/clock.ts';
import { Fresh } from '../parts/fresh.tsx';
import { keep, keptWords } from '../parts/keep.ts';
import { isKeeper } from '../parts/me.ts';
import { Missing } from '../parts/missing.tsx';
import { liftingWords } from '../words/barrel.ts';
import { nearDayOf } from '../words/time.ts';
import { TROUBLES, type TroubleKind, troubleKind, troubleVerdict } from '../words/trouble.ts';

type Outcome = Bodies['trouble-settlements']['outcome'];

const OUTCOMES: { value: Outcome; label: string }[] = [
  { value: 'mended', label: 'Mended' },
  { value: 'sound', label: 'Nothing was wrong' },
  { value: 'found', label: 'It was found again' },
  { value: 'rescued', label: 'The fill was rescued' },
  { value: 'part_lost', label: 'Part of the fill was lost' },
  { value: 'all_lost', label: 'The fill was lost' },
];

/** Trouble at a barrel: raise it, see the first steps, settle it. */
export default function TroublePage() {
  const { params } = useRoute();
  const barrel = barrelBy(params.id ?? '');
  if (!barrel) return <Missing what="This barrel is not in the club’s list on this phone." />;
  return <Room key={barrel.id} barrel={barrel} />;
}

function Room({ barrel }: { barrel: ShownBarrel }) {
  const [kind, setKind] = useState<TroubleKind['kind'] | undefined>(undefined);
  const [note, setNote] = useState('');
  const [quarantine, setQuarantine] = useState<boolean | null>(null);
  const [said, setSaid] = useState('');
  const [problem, setProblem] = useState('');
  const chosen = kind ? troubleKind(kind) : undefined;
  const isHeld = quarantine ?? chosen?.quarantine ?? false;

  const raise = async (): Promise<void> => {
    if (!kind) {
      setProblem('Say what is wrong first.');
      return;
    }
    const kept = await keep('troubles', {
      barrel: barrel.id,
      kind,
      quarantine: isHeld,
      ...(note.trim() ? { note: note.trim() } : {}),
    });
    setProblem(kept.ok ? '' : kept.words);
    if (!kept.ok) return;
    setSaid(`${keptWords()} The keeper sees it first thing.`);
    setNote('');
  };

  const lifting = liftingWords(barrel);
  return (
    <Screen
      title={`Trouble: ${barrel.name}`}
      announce={said || problem}
      top={{ back: { href: `/barrels/${barrel.id}`, label: barrel.name }, right: <Fresh /> }}
      sill={
        said ? (
          <Sill act={{ label: 'Done', href: `/barrels/${barrel.id}` }} />
        ) : (
          <Sill
            left={{ label: 'Leave', href: `/barrels/${barrel.id}` }}
            act={{
              label: isKeeper() ? 'Write it down' : 'Tell the keeper',
              lit: kind !== undefined,
              onPress: () => void raise(),
            }}
          />
        )
      }
    >
      <Section>
        <Title tone="red">Trouble: {barrel.name}</Title>
      </Section>
      <Standing barrel={barrel} onSaid={setSaid} />
      <Section class="gap5">
        {said ? (
          <p class="ok tick lead">{said}</p>
        ) : (
          <div class="stack">
            <PressGroup
              label={barrel.troubles.length > 0 ? 'Is something else wrong?' : 'What is wrong?'}
              options={TROUBLES.map((one) => ({ value: one.kind, label: one.label }))}
              value={kind}
              onChange={(next) => {
                setKind(next);
                setProblem('');
              }}
            />
            {chosen && (
              <>
                <div>
                  <h2 class="lead b">First</h2>
                  <ol class="trouble__steps gap2">
                    {chosen.steps.map((step) => (
                      <li key={step}>{step}</li>
                    ))}
                  </ol>
                  {lifting && <p class="note ink gap2">{lifting}</p>}
                </div>
                <Field
                  label="What you see or smell"
                  multiline
                  maxLength={2000}
                  value={note}
                  onInput={setNote}
                  hint="Where, how much, since when."
                />
                <label class="trouble__tick">
                  <input
                    type="checkbox"
                    checked={isHeld}
                    onChange={(event) => setQuarantine(event.currentTarget.checked)}
                  />
                  No tasting and no new reservation until the keeper clears it
                </label>
              </>
            )}
            {problem && <Notice tone="red">{problem}</Notice>}
          </div>
        )}
      </Section>
    </Screen>
  );
}

/** Trouble that stands, and for the keeper how it ended. */
function Standing({ barrel, onSaid }: { barrel: ShownBarrel; onSaid: (words: string) => void }) {
  const now = moment();
  const [outcome, setOutcome] = useState<Outcome>('mended');
  const [note, setNote] = useState('');
  const [problem, setProblem] = useState('');
  if (barrel.troubles.length === 0) return null;
  const settle = async (trouble: string): Promise<void> => {
    const kept = await keep('trouble-settlements', {
      barrel: barrel.id,
      trouble,
      outcome,
      ...(note.trim() ? { note: note.trim() } : {}),
    });
    if (kept.ok) onSaid(`Settled. ${keptWords()}`);
    else setProblem(kept.words);
  };
  return (
    <>
      {barrel.troubles.map((trouble) => (
        <div key={trouble.id} class="gap4">
          <Notice tone="red">
            <p class="b">{troubleVerdict(trouble.kind)}</p>
            <p>
              Since {nearDayOf(Date.parse(trouble.since), now)}. {trouble.note}
              {trouble.quarantine && ' No tasting until the keeper clears it.'}
            </p>
            <ol class="trouble__steps note gap2">
              {troubleKind(trouble.kind)?.steps.map((step) => (
                <li key={step}>{step}</li>
              ))}
            </ol>
            {isKeeper() && (
              <div class="stack gap4">
                <Choice
                  label="How it ended"
                  options={OUTCOMES}
                  value={outcome}
                  onChange={(value) => setOutcome(value as Outcome)}
                />
                <Field label="What was done" value={note} onInput={setNote} maxLength={2000} />
                {problem && <p class="red">{problem}</p>}
                <Press onPress={() => void settle(trouble.id)}>Settle it</Press>
              </div>
            )}
          </Notice>
        </div>
      ))}
    </>
  );
}
