import './style.css';
import type { RefObject } from 'preact';
import { useEffect, useMemo, useRef, useState } from 'preact/hooks';
import { Empty } from '~/components/empty/index.tsx';
import { countUse, isLearnt } from '~/components/lesson/uses.ts';
import { Loading } from '~/components/loading/index.tsx';
import { useGrowing } from '~/components/near/growing.ts';
import { Same } from '~/components/near/same.ts';
import { Notice } from '~/components/notice/index.tsx';
import { Press } from '~/components/press/index.tsx';
import { Screen } from '~/components/screen/index.tsx';
import { Section } from '~/components/section/index.tsx';
import { Sheet } from '~/components/sheet/index.tsx';
import { Sill } from '~/components/sill/index.tsx';
import { StaveList } from '~/components/stave-list/index.tsx';
import { Title } from '~/components/words/index.tsx';
import type { TendingBody } from '~/outbox/bodies.ts';
import { barrels, club, type LogLine, places, type ShownBarrel } from '~/outbox/overlay.ts';
import { lastClimate, lastTended } from '~/outbox/recent.ts';
import { takeBack } from '~/outbox/record.ts';
import { clockIn } from '~/science/dates.ts';
import { syncStatus } from '~/sync/status.ts';
import { TendSheet } from '../barrel/tend-sheet.tsx';
import { LookDrawing } from '../lessons/look.tsx';
import { RollDrawing } from '../lessons/roll.tsx';
import { WalkDrawing } from '../lessons/walk.tsx';
import { BarrelRow } from '../parts/barrel-row.tsx';
import { clubZone, moment } from '../parts/clock.ts';
import { isFirstLoad } from '../parts/first-load.ts';
import { Fresh } from '../parts/fresh.tsx';
import { keep } from '../parts/keep.ts';
import { LessonFor } from '../parts/lesson-for.tsx';
import { nameOf } from '../parts/me.ts';
import { liftingWords } from '../words/barrel.ts';
import { dueSentence, harmfullyLate, lateSentence } from '../words/care.ts';
import { logWhat } from '../words/log.ts';
import { dayStart, fullDay, type Moment, today } from '../words/time.ts';
import { troubleVerdict } from '../words/trouble.ts';
import {
  isClimateDue,
  isWalked,
  lateSince,
  nextPlaces,
  turned,
  turnWords,
  type WalkPlace,
  type WalkRow,
  walkPlaces,
  walkSentence,
  walkTurn,
} from '../words/walk.ts';
import { ClimateSheet, DoneEarlierSheet } from './sheets.tsx';

/** How long an entry can be undone in its own place. */
export const UNDO_MS = 6_000;

const LESSONS = [
  { name: 'walk', drawing: <WalkDrawing /> },
  { name: 'look', drawing: <LookDrawing /> },
  { name: 'roll', drawing: <RollDrawing /> },
] as const;

type WalkSheet = 'trouble' | { climate: string } | { earlier: string } | { water: WalkRow<ShownBarrel> };

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
  const [sheet, setSheet] = useState<WalkSheet | null>(null);
  const hasCounted = useRef(false);
  const [said, setSaid] = useState('');
  // What leaves no mark of its own in a row is said at the head.
  const [told, setTold] = useState('');
  const tell = (words: string): void => {
    setSaid(words);
    setTold(words);
    scrollTo(0, 0);
  };
  const [problem, setProblem] = useState('');
  const begun_ms = dayStart(now);
  const tended = lastTended(begun_ms);
  const climate = useClimate(now);
  const all = barrels.value;
  const order = places.value;
  const { now_ms, timezone } = now;
  const rooms = useMemo(
    () => walkPlaces(all, order, { now_ms, timezone }, turns),
    [all, order, now_ms, timezone, turns],
  );

  useEffect(() => {
    if (marks.length === 0) return;
    const first = Math.min(...marks.map((mark) => mark.until_ms));
    const timer = setTimeout(
      () => setMarks((before) => before.filter((mark) => mark.until_ms > Date.now())),
      Math.max(0, first - Date.now()) + 30,
    );
    return () => clearTimeout(timer);
  }, [marks]);

  // One lesson at a time, or they would hide the barrels.
  const [lesson] = useState(() => LESSONS.find((one) => !isLearnt(one.name)));

  /** One walk is one use of its lesson, however many barrels it has. */
  const countWalk = (): void => {
    if (!hasCounted.current) countUse('walk');
    hasCounted.current = true;
  };

  const mark = async (row: WalkRow<ShownBarrel>): Promise<void> => {
    if (row.press.label === 'Water changed') {
      setSheet({ water: row });
      return;
    }
    const tasks = row.press.tasks as TendingBody['tasks'];
    setTurns((before) => new Map(before).set(row.barrel.id, walkTurn(row)));
    const body = { barrel: row.barrel.id, tasks, ...turned(row.barrel, tasks) };
    const kept = await keep('tendings', body, { hold_ms: UNDO_MS });
    if (!kept.ok) {
      setProblem(kept.words);
      return;
    }
    countWalk();
    setSaid(`${row.barrel.name}: ${row.press.label.toLowerCase()}.`);
    setMarks((before) => [...before, { id: kept.recorded.id, row, until_ms: Date.now() + UNDO_MS }]);
  };
  const undo = async (made: Fresh6): Promise<void> => {
    const isBack = await takeBack(made.id);
    setMarks((before) => before.filter((one) => one.id !== made.id));
    setSaid(isBack ? `${made.row.barrel.name}: undone.` : 'It has gone already. Correct it from the log.');
  };

  // Rows are kept as they were drawn; what their planks do is always the newest.
  const acts = useRef<RowActs>({ mark, undo });
  acts.current = { mark, undo };
  const begun = useGrowing(rooms.length, 1, 1);
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
          right={{ label: 'Climate', onPress: () => setSheet({ climate: first?.place.id ?? '' }) }}
        />
      }
    >
      <Section>
        <Title>Today’s walk</Title>
        <p class="note gap1">
          {fullDay(today(now))}. {walkSentence(rooms)}{' '}
          {!syncStatus.value.has_signal && 'Your marks stay on this phone until there is signal.'}
        </p>
        {told && <p class="ok tick gap2">{told}</p>}
      </Section>
      <Section class="gap3">
        <LessonFor {...(lesson ?? LESSONS[0])} />
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
      {rooms.slice(0, begun).map((room, i) => (
        <Room
          key={room.place.id}
          room={room}
          isBelow={i > 0}
          marks={marks}
          tended={tended}
          isClimateDue={climate(room.place.id)}
          next={nextPlaces(rooms, room.place.id)}
          onClimate={() => setSheet({ climate: room.place.id })}
          acts={acts}
          onEarlier={() => setSheet({ earlier: room.place.id })}
        />
      ))}
      {sheet !== null && typeof sheet === 'object' && 'climate' in sheet && (
        <ClimateSheet place={sheet.climate} onClose={() => setSheet(null)} onSaid={tell} />
      )}
      {sheet !== null && typeof sheet === 'object' && 'water' in sheet && (
        <TendSheet
          barrel={sheet.water.barrel}
          kind="water_changed"
          also={sheet.water.press.tasks.filter((task) => task !== 'water_change') as TendingBody['tasks']}
          onClose={() => setSheet(null)}
          onSaid={(words) => {
            setTurns((before) => new Map(before).set(sheet.water.barrel.id, walkTurn(sheet.water)));
            countWalk();
            setSaid(`${sheet.water.barrel.name}. ${words}`);
            setSheet(null);
          }}
        />
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
      {sheet !== null && typeof sheet === 'object' && 'earlier' in sheet && (
        <DoneEarlierSheet
          room={rooms.find((room) => room.place.id === sheet.earlier)}
          onClose={() => setSheet(null)}
          onSaid={tell}
        />
      )}
    </Screen>
  );
}

/** Whether the climate of a place wants reading today, by the club's own period. */
function useClimate(now: Moment): (place: string) => boolean {
  const line = club.value?.care.find((one) => one.line === 'env.log');
  if (!line?.every_hours) return () => false;
  const every = line.every_hours;
  // From a midnight, so that the same rows are asked for all day.
  const read = lastClimate(dayStart({ ...now, now_ms: now.now_ms - every * 3_600_000 }));
  return (place) => isClimateDue(read.get(place) ?? null, every, now);
}

interface RowActs {
  mark: (row: WalkRow<ShownBarrel>) => Promise<void>;
  undo: (made: Fresh6) => Promise<void>;
}

interface RoomProps {
  room: WalkPlace<ShownBarrel>;
  isBelow: boolean;
  marks: Fresh6[];
  tended: ReadonlyMap<string, LogLine>;
  isClimateDue: boolean;
  next: string | null;
  onClimate: () => void;
  acts: RefObject<RowActs>;
  onEarlier: () => void;
}

function Room(props: RoomProps) {
  const { room, isBelow, marks, tended, isClimateDue, next, onClimate, acts, onEarlier } = props;
  // A row that was just marked keeps its place until its undo has passed.
  const shown = [...room.rows].sort((a, b) => place(a, marks) - place(b, marks));
  return (
    <section class="walk__room" aria-labelledby={`room-${room.place.id}`}>
      <Section>
        <h2 id={`room-${room.place.id}`} class="lead b">
          {room.place.name}
        </h2>
        {isClimateDue && (
          <p class="note">
            Its climate wants reading.{' '}
            <button type="button" class="link" onClick={onClimate}>
              Read it<span class="sr">: climate of {room.place.name}</span>
            </button>
          </p>
        )}
      </Section>
      <StaveList label={room.place.name} isBelow={isBelow}>
        {shown.map((row) => {
          const made = marks.find((mark) => mark.row.barrel.id === row.barrel.id);
          const kept = made ? made.row : row;
          const by = tended.get(row.barrel.id);
          return (
            <Same
              key={row.barrel.id}
              of={[kept, made, by?.id]}
              draw={() => <Stave row={kept} made={made} by={by} acts={acts} />}
            />
          );
        })}
      </StaveList>
      <Section>
        <div class="walk__foot note">
          <span>{next}</span>
          {room.rows.some(isWalked) && (
            <button type="button" class="link" onClick={onEarlier}>
              Done on another day
            </button>
          )}
        </div>
      </Section>
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
  /** What was done to it today, by whomever. */
  by: LogLine | undefined;
  acts: RefObject<RowActs>;
}

function Stave({ row, made, by, acts }: StaveProps) {
  const now = moment();
  const { barrel, due } = row;
  const trouble = barrel.troubles[0];
  const isDone = due.length === 0;
  const proud = !isDone && !made && (trouble || row.isLate) ? 'red' : undefined;
  const lifting = liftingWords(barrel);
  const harmful = harmfullyLate(barrel, now);
  const rest = isDone || row.press.tasks.length === 0 ? '' : turnWords(barrel);
  const words = isDone
    ? by
      ? `${logWhat(by, { person: nameOf })}.`
      : 'All that was due is done.'
    : trouble
      ? `${troubleVerdict(trouble.kind)} ${dueSentence(due)} ${lateSince(barrel.care, now)}`
      : harmful
        ? lateSentence(harmful, now)
        : `${dueSentence(due)} ${lateSince(barrel.care, now)}`;
  return (
    <BarrelRow
      barrel={barrel}
      proud={proud}
      tone={isDone ? 'done' : undefined}
      aside={<Aside row={row} made={made} by={by} acts={acts} />}
    >
      {words} {!isDone && lifting} {rest}
    </BarrelRow>
  );
}

function Aside({ row, made, by, acts }: StaveProps) {
  const { barrel, press, doneAt } = row;
  if (made) {
    return (
      <Press chosen onPress={() => void acts.current?.undo(made)}>
        Undo<span class="sr"> {barrel.name}</span>
      </Press>
    );
  }
  if (row.due.length === 0) {
    const at = by?.happened_at ?? doneAt;
    const clock = at ? clockIn(clubZone(), Date.parse(at)) : 'done';
    return <span class="ok tick walk__done">{by ? `${firstName(nameOf(by.author))}, ${clock}` : clock}</span>;
  }
  const of = <span class="sr"> {barrel.name}</span>;
  if (press.label === 'Taste') return <Press href={`/barrels/${barrel.id}/taste`}>Taste{of}</Press>;
  if (press.label === 'Open') return <Press href={`/barrels/${barrel.id}`}>Open{of}</Press>;
  return (
    <Press onPress={() => void acts.current?.mark(row)}>
      {press.label}
      {of}
    </Press>
  );
}

const firstName = (name: string): string => name.split(' ')[0] ?? name;
