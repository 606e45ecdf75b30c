import '../parts/acts.css';
import { useState } from 'preact/hooks';
import { useRoute } from 'preact-iso';
import { Choice } from '~/components/choice/index.tsx';
import { Field } from '~/components/field/index.tsx';
import { Press } from '~/components/press/index.tsx';
import { PressGroup } from '~/components/press-group/index.tsx';
import { Screen } from '~/components/screen/index.tsx';
import { Section } from '~/components/section/index.tsx';
import { Sill } from '~/components/sill/index.tsx';
import { Note, Say, Title } from '~/components/words/index.tsx';
import { barrelBy, barrels, placeBy, places, type ShownBarrel } from '~/outbox/overlay.ts';
import { newTagCode } from '~/science/tag-make.ts';
import { LendDrawing } from '../lessons/lend.tsx';
import { MoveDrawing } from '../lessons/move.tsx';
import { RepairDrawing } from '../lessons/repair.tsx';
import { TagDrawing } from '../lessons/tag.tsx';
import { moment } from '../parts/clock.ts';
import { Fresh } from '../parts/fresh.tsx';
import { didWords, keep } from '../parts/keep.ts';
import { LessonFor } from '../parts/lesson-for.tsx';
import { isKeeper, myId } from '../parts/me.ts';
import { Missing, NotAllowed } from '../parts/missing.tsx';
import { SheetForm } from '../parts/sheet-form.tsx';
import { liftingWords } from '../words/barrel.ts';
import { nearDayOf } from '../words/time.ts';
import {
  AFTER_REPAIR,
  loanWords,
  REPAIRS,
  type RepairKind,
  repairEffect,
  thinWords,
} from '../words/wood-work.ts';

/** What is done with a barrel between its fills: charred or toasted, carried, lent, given another tag. */
export default function RepairPage() {
  const { params } = useRoute();
  const barrel = barrelBy(params.id ?? '');
  if (!barrel) return <Missing what="This barrel is not in the club’s list on this phone." />;
  const mayWork = isKeeper() || barrel.owners.some((share) => share.person === myId());
  if (!mayWork)
    return <NotAllowed title={`Work on ${barrel.name}`} words="Only the keeper works on the wood." />;
  return <Room key={barrel.id} barrel={barrel} />;
}

type Open = 'repair' | 'move' | 'lend' | 'tag';
const SHEETS = { repair: RepairSheet, move: MoveSheet, lend: LendSheet, tag: TagSheet } as const;

interface WorkSheetProps {
  barrel: ShownBarrel;
  onClose: () => void;
  onKept: (words: string) => void;
}

function Room({ barrel }: { barrel: ShownBarrel }) {
  const now = moment();
  const [open, setOpen] = useState<Open | null>(null);
  const [said, setSaid] = useState('');
  const done = (words: string): void => {
    setOpen(null);
    setSaid(didWords(words));
    scrollTo(0, 0);
  };
  const back = async (): Promise<void> => {
    const kept = await keep('loan-returns', { barrel: barrel.id });
    done(kept.ok ? 'Back home' : kept.words);
  };
  const Opened = open ? SHEETS[open] : null;
  const loan = loanWords(barrel, now);
  const former = barrel.former_tags[0];
  return (
    <Screen
      title={`Work on ${barrel.name}`}
      announce={said}
      top={{ back: { href: `/barrels/${barrel.id}`, label: barrel.name }, right: <Fresh /> }}
      sill={
        <Sill
          left={{ label: 'Trouble', href: `/barrels/${barrel.id}/trouble`, tone: 'red' }}
          right={{ label: 'Log', href: `/barrels/${barrel.id}/log` }}
        />
      }
    >
      <Section>
        <Title>Work on {barrel.name}</Title>
        {said && <p class="ok tick gap3">{said}</p>}
      </Section>
      <Section class="gap5">
        <h2 class="lead b">Its wood</h2>
        <Note>
          {barrel.wood || 'Wood not named'}
          {barrel.char ? `, ${barrel.char}` : ''}.
          {barrel.repaired_at && ` Worked on ${nearDayOf(Date.parse(barrel.repaired_at), now)}.`}
        </Note>
        <p class="gap2">{repairEffect(barrel, 'scrape_and_rechar')}</p>
        <div class="acts gap3">
          <Press onPress={() => setOpen('repair')}>Charred or toasted</Press>
          {(barrel.state === 'empty' || barrel.state === 'new') && (
            <Press href={`/barrels/${barrel.id}/curing`}>Cure it</Press>
          )}
        </div>
      </Section>
      <Section class="gap6">
        <h2 class="lead b">Its place</h2>
        <Note>
          {placeBy(barrel.place)?.name ?? 'Nobody knows'}. {loan}
        </Note>
        <div class="acts gap3">
          <Press onPress={() => setOpen('move')}>Move it</Press>
          {barrel.loan ? (
            <Press onPress={() => void back()}>It is back</Press>
          ) : (
            <Press onPress={() => setOpen('lend')}>Lend it</Press>
          )}
        </div>
      </Section>
      <Section class="gap6">
        <h2 class="lead b">Its tag</h2>
        <p>{barrel.tag_code}</p>
        {former && (
          <Note>
            {former.code} was replaced {nearDayOf(Date.parse(former.replaced_at), now)}; whoever scans it is
            told.
          </Note>
        )}
        <div class="acts gap3">
          <Press onPress={() => setOpen('tag')}>A new tag</Press>
        </div>
      </Section>
      {barrel.state !== 'retired' && (
        <Section class="gap6">
          <h2 class="lead b">Its end</h2>
          <div class="acts gap3">
            <Press href={`/barrels/${barrel.id}/retire`}>Retire it</Press>
          </div>
        </Section>
      )}
      {Opened && <Opened barrel={barrel} onClose={() => setOpen(null)} onKept={done} />}
    </Screen>
  );
}

function RepairSheet({ barrel, onClose, onKept }: WorkSheetProps) {
  const [kind, setKind] = useState<RepairKind>('scrape_and_rechar');
  const [by, setBy] = useState('');
  const isFull = barrel.contents?.kind === 'fill';
  const thin = thinWords(barrel, kind);
  const save = () => keep('repairs', { barrel: barrel.id, kind, ...(by.trim() ? { by: by.trim() } : {}) });
  return (
    <SheetForm
      title={`Its wood: ${barrel.name}`}
      onClose={onClose}
      onSave={save}
      onKept={() => onKept('Wood worked on')}
    >
      <LessonFor name="repair" drawing={<RepairDrawing />} />
      <PressGroup
        label="What was done?"
        options={REPAIRS}
        value={kind}
        onChange={(value) => setKind(value ?? 'scrape_and_rechar')}
      />
      <Say>{repairEffect(barrel, kind)}</Say>
      {isFull && <p class="red">There is a fill in it. The keeper must place this entry.</p>}
      {thin && <p class="red">{thin}</p>}
      <Field label="Who did it" value={by} onInput={setBy} maxLength={60} />
      <p class="note">
        Open fire and dry wood: a trained hand, outdoors, water at hand, and no spirit or its vapour anywhere
        near.
      </p>
      <p class="note">{AFTER_REPAIR}</p>
    </SheetForm>
  );
}

function MoveSheet({ barrel, onClose, onKept }: WorkSheetProps) {
  const others = places.value.filter((place) => place.id !== barrel.place);
  const [place, setPlace] = useState(others[0]?.id ?? barrel.place);
  const lifting = liftingWords(barrel);
  return (
    <SheetForm
      title={`Move ${barrel.name}`}
      onClose={onClose}
      onSave={() => keep('moves', { barrel: barrel.id, place })}
      onKept={() => onKept('Moved')}
    >
      <LessonFor name="move" drawing={<MoveDrawing />} />
      <Choice
        label="It stands now in"
        value={place}
        onChange={setPlace}
        options={others.map((one) => ({ value: one.id, label: one.name }))}
      />
      {lifting && <p class="note ink">{lifting}</p>}
      <p class="note">Bung up, chocked on both sides. Look for drops the next day.</p>
    </SheetForm>
  );
}

function LendSheet({ barrel, onClose, onKept }: WorkSheetProps) {
  const [borrower, setBorrower] = useState('');
  const [back, setBack] = useState('');
  const [wrong, setWrong] = useState<string>();
  const save = async () => {
    setWrong(borrower.trim() ? undefined : 'Say who has it.');
    if (!borrower.trim()) return null;
    return keep('loans', {
      barrel: barrel.id,
      borrower: borrower.trim(),
      ...(back ? { back_by: back } : {}),
    });
  };
  return (
    <SheetForm title={`Lend ${barrel.name}`} onClose={onClose} onSave={save} onKept={() => onKept('Lent')}>
      <LessonFor name="lend" drawing={<LendDrawing />} />
      <Field label="To whom" value={borrower} onInput={setBorrower} maxLength={120} error={wrong} />
      <Field label="Back by" type="date" value={back} onInput={setBack} />
      <p class="note">While it is away, nothing is asked of it on the walk.</p>
    </SheetForm>
  );
}

function TagSheet({ barrel, onClose, onKept }: WorkSheetProps) {
  const [code] = useState(() => newTagCode(takenCodes()));
  return (
    <SheetForm
      title={`A new tag: ${barrel.name}`}
      label="It carries this tag now"
      onClose={onClose}
      onSave={() => keep('tag-issues', { barrel: barrel.id, tag_code: code })}
      onKept={() => onKept(`Tag ${code}`)}
    >
      <LessonFor name="tag" drawing={<TagDrawing />} />
      <p>Write it on the barrel:</p>
      <p class="figure-mark">{code}</p>
      <p class="note">
        The old one, {barrel.tag_code}, still leads here, and tells whoever scans it that it was replaced.
      </p>
    </SheetForm>
  );
}

function takenCodes(): Set<string> {
  return new Set(
    barrels.value.flatMap((one) => [one.tag_code, ...one.former_tags.map((former) => former.code)]),
  );
}
