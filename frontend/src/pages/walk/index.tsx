import './style.css';
import { useEffect, useState } from 'preact/hooks';
import { Empty } from '~/components/empty/index.tsx';
import { Loading } from '~/components/loading/index.tsx';
import { Notice } from '~/components/notice/index.tsx';
import { Press } from '~/components/press/index.tsx';
import { Screen } from '~/components/screen/index.tsx';
import { Section } from '~/components/section/index.tsx';
import { Sheet } from '~/components/sheet/index.tsx';
import { Sill } from '~/components/sill/index.tsx';
import { StaveList } from '~/components/stave-list/index.tsx';
import { Title } from '~/components/words/index.tsx';
import type { TendingBody } from '~/outbox/bodies.ts';
import { barrels, places, type ShownBarrel } from '~/outbox/overlay.ts';
import { takeBack } from '~/outbox/record.ts';
import { clockIn } from '~/science/dates.ts';
import { syncStatus } from '~/sync/status.ts';
import { BarrelRow } from '../parts/barrel-row.tsx';
import { clubZone, moment } from '../parts/clock.ts';
import { isFirstLoad } from '../parts/first-load.ts';
import { Fresh } from '../parts/fresh.tsx';
import { keep } from '../parts/keep.ts';
import { liftingWords } from '../words/barrel.ts';
import { dueSentence, harmfullyLate, lateLines, lateSentence } from '../words/care.ts';
import { fullDay, today } from '../words/time.ts';
import { troubleVerdict } from '../words/trouble.ts';
import { type WalkPlace, type WalkRow, walkPlaces, walkSentence, walkTurn } from '../words/walk.ts';
import { ClimateSheet, DoneEarlierSheet } from './sheets.tsx';

/** How long an entry can be undone in its own place. */
export const UNDO_MS = 6_000;

/** A mark just made: its row stays where it was until it can no longer be undone. */
interface Fresh6 {
  id: string;
  row: WalkRow<ShownBarrel>;
  until_ms: number;
}

/** Today's walk, in walking order. */
export default function Walk() {
  const now = moment();
  const [marks, setMarks] = useState<Fresh6[]>([]);
  const [turns, setTurns] = useState<ReadonlyMap<string, number>>(new Map());
  const [sheet, setSheet] = useState<'climate' | 'trouble' | { earlier: string } | null>(null);
  const [said, setSaid] = useState('');
  const [problem, setProblem] = useState('');
  const rooms = walkPlaces(barrels.value, places.value, now, turns);

  useEffect(() => {
    if (marks.length === 0) return;
    const first = Math.min(...marks.map((mark) => mark.until_ms));
    const timer = setTimeout(
      () => setMarks((before) => before.filter((mark) => mark.until_ms > Date.now())),
      Math.max(0, first - Date.now()) + 30,
    );
    return () => clearTimeout(timer);
  }, [marks]);

  const mark = async (row: WalkRow<ShownBarrel>): Promise<void> => {
    const tasks = row.press.tasks as TendingBody['tasks'];
    setTurns((before) => new Map(before).set(row.barrel.id, walkTurn(row)));
    const kept = await keep('tendings', { barrel: row.barrel.id, tasks }, { hold_ms: UNDO_MS });
    if (!kept.ok) {
      setProblem(kept.words);
      return;
    }
    setSaid(`${row.barrel.name}: ${row.press.label.toLowerCase()}.`);
    setMarks((before) => [...before, { id: kept.recorded.id, row, until_ms: Date.now() + UNDO_MS }]);
  };
  const undo = async (made: Fresh6): Promise<void> => {
    const isBack = await takeBack(made.id);
    setMarks((before) => before.filter((one) => one.id !== made.id));
    setSaid(isBack ? `${made.row.barrel.name}: undone.` : 'It has gone already. Correct it from the log.');
  };

  const first = rooms.find((room) => room.left > 0) ?? rooms[0];
  return (
    <Screen
      title="Today’s walk"
      glow="left"
      announce={problem || said}
      top={{ back: { href: '/', label: 'Home' }, right: <Fresh /> }}
      sill={
        <Sill
          left={{ label: 'Trouble', tone: 'red', onPress: () => setSheet('trouble') }}
          act={{ label: 'Scan', href: '/scan' }}
          right={{ label: 'Climate', onPress: () => setSheet('climate') }}
        />
      }
    >
      <Section>
        <Title>Today’s walk</Title>
        <p class="note gap1">
          {fullDay(today(now))}. {walkSentence(rooms)}{' '}
          {!syncStatus.value.has_signal && 'Your marks stay on this phone until there is signal.'}
        </p>
      </Section>
      {problem && <Notice tone="red">{problem}</Notice>}
      {isFirstLoad() && <Loading />}
      {rooms.length === 0 && !isFirstLoad() && (
        <Section>
          <Empty>
            <p>Nothing is due today.</p>
            <Press href="/barrels">All barrels</Press>
          </Empty>
        </Section>
      )}
      {rooms.map((room) => (
        <Room
          key={room.place.id}
          room={room}
          marks={marks}
          onMark={(row) => void mark(row)}
          onUndo={(made) => void undo(made)}
          onEarlier={() => setSheet({ earlier: room.place.id })}
        />
      ))}
      {sheet === 'climate' && (
        <ClimateSheet place={first?.place.id ?? ''} onClose={() => setSheet(null)} onSaid={setSaid} />
      )}
      {sheet === 'trouble' && (
        <Sheet open onClose={() => setSheet(null)} title="Trouble at which barrel?">
          <ul class="walk__which">
            {barrels.value
              .filter((barrel) => barrel.state !== 'retired')
              .map((barrel) => (
                <li key={barrel.id}>
                  <a class="link" href={`/barrels/${barrel.id}/trouble`}>
                    {barrel.name}
                  </a>
                </li>
              ))}
          </ul>
        </Sheet>
      )}
      {sheet !== null && typeof sheet === 'object' && (
        <DoneEarlierSheet
          room={rooms.find((room) => room.place.id === sheet.earlier)}
          onClose={() => setSheet(null)}
          onSaid={setSaid}
        />
      )}
    </Screen>
  );
}

interface RoomProps {
  room: WalkPlace<ShownBarrel>;
  marks: Fresh6[];
  onMark: (row: WalkRow<ShownBarrel>) => void;
  onUndo: (mark: Fresh6) => void;
  onEarlier: () => void;
}

function Room({ room, marks, onMark, onUndo, onEarlier }: RoomProps) {
  // A row that was just marked keeps its place until its undo has passed.
  const shown = [...room.rows].sort((a, b) => place(a, marks) - place(b, marks));
  return (
    <section class="walk__room" aria-labelledby={`room-${room.place.id}`}>
      <Section>
        <h2 id={`room-${room.place.id}`} class="lead b">
          {room.place.name}
        </h2>
      </Section>
      <StaveList label={room.place.name}>
        {shown.map((row) => {
          const made = marks.find((mark) => mark.row.barrel.id === row.barrel.id);
          return (
            <Stave
              key={row.barrel.id}
              row={made ? made.row : row}
              made={made}
              onMark={onMark}
              onUndo={onUndo}
            />
          );
        })}
      </StaveList>
      {room.rows.some((row) => row.press.label === 'All well') && (
        <Section>
          <p class="walk__earlier">
            <button type="button" class="link" onClick={onEarlier}>
              Done on another day
            </button>
          </p>
        </Section>
      )}
    </section>
  );
}

function place(row: WalkRow<ShownBarrel>, marks: Fresh6[]): number {
  const made = marks.find((mark) => mark.row.barrel.id === row.barrel.id);
  const shown = made ? made.row : row;
  if (shown.due.length === 0) return 2;
  return shown.isLate ? 0 : 1;
}

interface StaveProps {
  row: WalkRow<ShownBarrel>;
  made: Fresh6 | undefined;
  onMark: (row: WalkRow<ShownBarrel>) => void;
  onUndo: (mark: Fresh6) => void;
}

function Stave({ row, made, onMark, onUndo }: StaveProps) {
  const now = moment();
  const { barrel, due } = row;
  const trouble = barrel.troubles[0];
  const late = harmfullyLate(barrel, now);
  const isDone = due.length === 0;
  const proud = !isDone && !made && (trouble || late) ? 'red' : row.isLate && !made ? 'lamp' : undefined;
  const lifting = liftingWords(barrel);
  const words = isDone
    ? 'All that was due is done.'
    : trouble
      ? `${troubleVerdict(trouble.kind)} ${dueSentence(due)}`
      : late
        ? lateSentence(late, now)
        : `${dueSentence(due)}${lateLines(barrel.care, now).length > 0 ? ' It is late.' : ''}`;
  return (
    <BarrelRow
      barrel={barrel}
      proud={proud}
      tone={isDone ? 'done' : undefined}
      aside={<Aside row={row} made={made} onMark={onMark} onUndo={onUndo} />}
    >
      {words} {!isDone && lifting}
      {barrel.contents?.kind === 'hold' && !isDone && barrel.bung_clock !== 12 && (
        <> Bung at {barrel.bung_clock} o’clock.</>
      )}
    </BarrelRow>
  );
}

function Aside({ row, made, onMark, onUndo }: StaveProps) {
  const { barrel, press, doneAt } = row;
  if (made) {
    return (
      <Press chosen onPress={() => onUndo(made)}>
        Undo
      </Press>
    );
  }
  if (row.due.length === 0) {
    return (
      <span class="ok tick walk__done">{doneAt ? clockIn(clubZone(), Date.parse(doneAt)) : 'done'}</span>
    );
  }
  if (press.label === 'Taste') return <Press href={`/barrels/${barrel.id}/taste`}>Taste</Press>;
  if (press.label === 'Open') return <Press href={`/barrels/${barrel.id}`}>Open</Press>;
  return <Press onPress={() => onMark(row)}>{press.label}</Press>;
}
