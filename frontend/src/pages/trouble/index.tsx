import './style.css';
import { useState } from 'preact/hooks';
import { useRoute } from 'preact-iso';
import type { Sign } from '~/api/types.ts';
import { Field } from '~/components/field/index.tsx';
import { Notice } from '~/components/notice/index.tsx';
import { PressGroup } from '~/components/press-group/index.tsx';
import { Screen } from '~/components/screen/index.tsx';
import { Section } from '~/components/section/index.tsx';
import { Sill } from '~/components/sill/index.tsx';
import { Note, Title } from '~/components/words/index.tsx';
import { barrelBy, type ShownBarrel } from '~/outbox/overlay.ts';
import { TroubleDrawing } from '../lessons/trouble.tsx';
import { Fresh } from '../parts/fresh.tsx';
import { keep, keptWords } from '../parts/keep.ts';
import { LessonFor } from '../parts/lesson-for.tsx';
import { isKeeper } from '../parts/me.ts';
import { Missing } from '../parts/missing.tsx';
import { PhotoStrip } from '../parts/photo-strip.tsx';
import { useWhenAt, WhenField } from '../parts/when.tsx';
import { liftingWords } from '../words/barrel.ts';
import { diagnosisOf, OFF_SIGNS } from '../words/diagnosis.ts';
import { TROUBLES, type TroubleKind, troubleKind, troubleVerdict } from '../words/trouble.ts';
import { Standing } from './standing.tsx';

/** Trouble at a barrel: raise it, see the first steps, settle it. */
export default function TroublePage() {
  const { params, query } = useRoute();
  const barrel = barrelBy(params.id ?? '');
  if (!barrel) return <Missing what="This barrel is not in the club’s list on this phone." />;
  const asked = troubleKind(query.kind ?? '')?.kind;
  const sign = diagnosisOf(query.sign ?? '')?.sign;
  return <Room key={barrel.id} barrel={barrel} asked={asked} smelt={sign} />;
}

interface RoomProps {
  barrel: ShownBarrel;
  asked: TroubleKind['kind'] | undefined;
  smelt: Sign | undefined;
}

function Room({ barrel, asked, smelt }: RoomProps) {
  const [kind, setKind] = useState<TroubleKind['kind'] | undefined>(asked);
  const [sign, setSign] = useState<Sign | undefined>(smelt);
  const [note, setNote] = useState('');
  const [quarantine, setQuarantine] = useState<boolean | null>(null);
  const [said, setSaid] = useState('');
  const [problem, setProblem] = useState('');
  const [raised, setRaised] = useState<{ id: string; what: string } | null>(null);
  const when = useWhenAt(barrel);
  const chosen = kind ? troubleKind(kind) : undefined;
  const found = kind === 'off_smell' && sign ? diagnosisOf(sign) : undefined;
  const isHeld = quarantine ?? found?.quarantine ?? chosen?.quarantine ?? false;
  const steps = found ? found.steps : (chosen?.steps ?? []);

  const raise = async (): Promise<void> => {
    if (!kind) {
      setProblem('Say what is wrong first.');
      return;
    }
    const at = when.said();
    if (at === null) return;
    const kept = await keep('troubles', {
      barrel: barrel.id,
      kind,
      quarantine: isHeld,
      ...(found ? { sign: found.sign } : {}),
      ...(note.trim() ? { note: note.trim() } : {}),
      ...at,
    });
    setProblem(kept.ok ? '' : kept.words);
    if (!kept.ok) return;
    const told = barrel.contents?.kind === 'fill' ? ' Its sharers are told, too.' : '';
    setRaised({ id: kept.recorded.id, what: troubleVerdict(kind) });
    setSaid(`${keptWords()} The keeper sees it first thing.${told}`);
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
          <>
            <p class="ok tick lead">{said}</p>
            {raised && barrel.troubles.some((one) => one.id === raised.id && one.kind !== 'missing') && (
              <div class="gap4">
                <Note>A photo of it helps whoever mends it.</Note>
                <PhotoStrip acts={[raised.id]} addTo={raised.id} barrel={barrel.id} what={raised.what} />
              </div>
            )}
          </>
        ) : (
          <div class="stack">
            <LessonFor name="trouble" drawing={<TroubleDrawing />} />
            <PressGroup
              label={barrel.troubles.length > 0 ? 'Is something else wrong?' : 'What is wrong?'}
              options={TROUBLES.map((one) => ({ value: one.kind, label: one.label }))}
              value={kind}
              onChange={(next) => {
                setKind(next);
                setProblem('');
              }}
            />
            {kind === 'off_smell' && (
              <PressGroup
                label="What of?"
                options={OFF_SIGNS.map((one) => ({ value: one.sign, label: one.label }))}
                value={sign}
                onChange={setSign}
                none
              />
            )}
            {chosen && (
              <>
                <div>
                  {found && <p class="say">{found.likely}</p>}
                  <h2 class="lead b">First</h2>
                  <ol class="trouble__steps gap2">
                    {steps.map((step) => (
                      <li key={step}>{step}</li>
                    ))}
                  </ol>
                  {found?.retireIf && <p class="note gap2">Let go of it if: {found.retireIf}</p>}
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
                <WhenField when={when} />
              </>
            )}
            {problem && <Notice tone="red">{problem}</Notice>}
          </div>
        )}
      </Section>
    </Screen>
  );
}
