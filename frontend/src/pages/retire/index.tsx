import '../parts/acts.css';
import { useState } from 'preact/hooks';
import { useRoute } from 'preact-iso';
import { Field } from '~/components/field/index.tsx';
import { Notice } from '~/components/notice/index.tsx';
import { PressGroup } from '~/components/press-group/index.tsx';
import { Screen } from '~/components/screen/index.tsx';
import { Section } from '~/components/section/index.tsx';
import { Sill } from '~/components/sill/index.tsx';
import { Say, Title } from '~/components/words/index.tsx';
import { barrelBy, type ShownBarrel } from '~/outbox/overlay.ts';
import { RetireDrawing } from '../lessons/retire.tsx';
import { moment } from '../parts/clock.ts';
import { Fresh } from '../parts/fresh.tsx';
import { keep, keptWords } from '../parts/keep.ts';
import { LessonFor } from '../parts/lesson-for.tsx';
import { isKeeper, myId, nameOf } from '../parts/me.ts';
import { Missing, NotAllowed } from '../parts/missing.tsx';
import { stateSentence } from '../words/barrel.ts';
import { datesWords } from '../words/reserve.ts';
import { RETIREMENTS, type RetirementWhy, spentWords } from '../words/wood-work.ts';

/** The end of a barrel's life, with its reason; its log stays. */
export default function RetirePage() {
  const { params } = useRoute();
  const barrel = barrelBy(params.id ?? '');
  if (!barrel) return <Missing what="This barrel is not in the club’s list on this phone." />;
  const mayWork = isKeeper() || barrel.owners.some((share) => share.person === myId());
  if (!mayWork)
    return <NotAllowed title={`Retire ${barrel.name}`} words="Only the keeper retires a barrel." />;
  return <Room key={barrel.id} barrel={barrel} />;
}

function Room({ barrel }: { barrel: ShownBarrel }) {
  const now = moment();
  const [why, setWhy] = useState<RetirementWhy | undefined>();
  const [more, setMore] = useState('');
  const [problem, setProblem] = useState('');
  const [said, setSaid] = useState('');
  const retire = async (): Promise<void> => {
    const chosen = RETIREMENTS.find((one) => one.value === why);
    const reason = [chosen?.reason, more.trim()].filter(Boolean).join('; ');
    if (!chosen || !reason) {
      setProblem(chosen ? 'Say what else.' : 'Say why first.');
      return;
    }
    const kept = await keep('retirements', { barrel: barrel.id, reason, why: chosen.value });
    setProblem(kept.ok ? '' : kept.words);
    if (kept.ok) setSaid(`${barrel.name} is retired. ${keptWords()} Its log stays readable.`);
  };
  const isOver = said !== '' || barrel.state === 'retired';
  const booked = barrel.next_reservation;
  return (
    <Screen
      title={`Retire ${barrel.name}`}
      announce={said || problem}
      top={{ back: { href: `/barrels/${barrel.id}`, label: barrel.name }, right: <Fresh /> }}
      sill={
        isOver ? (
          <Sill
            act={{ label: 'Done', href: `/barrels/${barrel.id}` }}
            right={{ label: 'Log', href: `/barrels/${barrel.id}/log` }}
          />
        ) : (
          <Sill
            left={{ label: 'Leave', href: `/barrels/${barrel.id}` }}
            act={{ label: 'Retire it', lit: why !== undefined, onPress: () => void retire() }}
          />
        )
      }
    >
      <Section>
        <Title>Retire {barrel.name}</Title>
      </Section>
      <Section class="gap4">
        {isOver ? (
          <>
            <p class="lead">{said || stateSentence(barrel, now)}</p>
            <p class="note gap3">Decoration or a planter: mark it “not for drink”.</p>
          </>
        ) : (
          <div class="stack">
            <LessonFor name="retire" drawing={<RetireDrawing />} />
            <Say>{spentWords(barrel)}</Say>
            {barrel.contents?.kind === 'fill' && (
              <Notice tone="red">
                There is a fill in it. Decant it first; retiring ends it without a yield.
              </Notice>
            )}
            {booked && (
              <Notice>
                {nameOf(booked.person)} has it reserved from {datesWords(booked.starts_on, booked.ends_on)}.
                Tell them.
              </Notice>
            )}
            <PressGroup
              label="Why?"
              value={why}
              onChange={(value) => {
                setWhy(value);
                setProblem('');
              }}
              options={RETIREMENTS.map((one) => ({ value: one.value, label: one.label }))}
            />
            <Field label="More about it" value={more} onInput={setMore} maxLength={250} />
            {problem && <p class="red">{problem}</p>}
          </div>
        )}
      </Section>
    </Screen>
  );
}
