import { useState } from 'preact/hooks';
import type { TrayEntry } from '~/api/types.ts';
import { Empty } from '~/components/empty/index.tsx';
import { Loading } from '~/components/loading/index.tsx';
import { Notice } from '~/components/notice/index.tsx';
import { Press } from '~/components/press/index.tsx';
import { Screen } from '~/components/screen/index.tsx';
import { Section } from '~/components/section/index.tsx';
import { Sheet } from '~/components/sheet/index.tsx';
import { Sill } from '~/components/sill/index.tsx';
import { StaveList } from '~/components/stave-list/index.tsx';
import { StaveRow } from '~/components/stave-row/index.tsx';
import { Title } from '~/components/words/index.tsx';
import { placeBy } from '~/outbox/overlay.ts';
import { outboxEntries } from '~/outbox/queue.ts';
import { dayIn } from '~/science/dates.ts';
import { tray, useAnswer } from '~/sync/answers.ts';
import { EntrySheet } from '../log/entry-sheet.tsx';
import { moment } from '../parts/clock.ts';
import { Fresh } from '../parts/fresh.tsx';
import { keep, keptWords } from '../parts/keep.ts';
import { isKeeper, nameOf } from '../parts/me.ts';
import { TakeBackForm } from '../parts/take-back-form.tsx';
import { logWhat } from '../words/log.ts';
import { dayMonth, type Moment, nearTime } from '../words/time.ts';
import '../reservations/style.css';

/** Entries that came late and do not fit: place them, take them back, or leave them as they are. */
export default function NeedsTheKeeper() {
  const { value: answer, refresh } = useAnswer(tray);
  const [placing, setPlacing] = useState<TrayEntry | null>(null);
  const [asking, setAsking] = useState<TrayEntry | null>(null);
  const [said, setSaid] = useState('');
  const [problem, setProblem] = useState('');
  // What this phone has decided leaves the list at once.
  const decided = new Set(
    outboxEntries.value
      .filter((one) => one.state !== 'refused')
      .map((one) =>
        one.collection === 'voids' || one.collection === 'tray-decisions' ? one.body.act : one.body.replaces,
      ),
  );
  const entries = (answer.data?.entries ?? []).filter((entry) => !decided.has(entry.id));

  const leave = async (entry: TrayEntry): Promise<void> => {
    const kept = await keep('tray-decisions', { act: entry.id, decision: 'leave' });
    if (kept.ok) setSaid(`Left as it is. ${keptWords()}`);
    setProblem(kept.ok ? '' : kept.words);
  };
  const takeBack = async (entry: TrayEntry, reason: string): Promise<void> => {
    const kept = await keep('voids', { act: entry.id, reason });
    if (kept.ok) setSaid(`Taken back. ${keptWords()}`);
    setProblem(kept.ok ? '' : kept.words);
  };

  return (
    <Screen
      title="Needs the keeper"
      announce={said || problem}
      top={{ back: { href: '/', label: 'Back' }, right: <Fresh /> }}
      sill={
        <Sill
          left={{ label: 'Barrels', href: '/barrels' }}
          act={{ label: 'Look again', onPress: () => void refresh() }}
          right={{ label: isKeeper() ? 'More' : 'Mine', href: '/mine' }}
        />
      }
    >
      <Section>
        <Title>Needs the keeper</Title>
        <p class="note gap2">
          These came late and do not fit what the log says. Nothing is lost: each is kept until somebody
          decides.
        </p>
        {said && <p class="ok tick gap3">{said}</p>}
      </Section>
      {problem && <Notice tone="red">{problem}</Notice>}
      {!answer.data && answer.loading && <Loading label="Looking" />}
      {!answer.data && !answer.loading && answer.problem && (
        <Section>
          <p class="gap4">{answer.problem.detail}</p>
        </Section>
      )}
      {answer.data && entries.length === 0 && (
        <Section>
          <Empty>
            <p>Nothing waits here.</p>
          </Empty>
        </Section>
      )}
      {entries.length > 0 && (
        <div class="gap4">
          <StaveList label="Entries">
            {entries.map((entry) => (
              <Entry
                key={entry.id}
                entry={entry}
                onPlace={() => setPlacing(entry)}
                onLeave={() => void leave(entry)}
                onTakeBack={() => setAsking(entry)}
              />
            ))}
          </StaveList>
        </div>
      )}
      {placing && (
        <EntrySheet
          line={{ ...placing, here: 'sent' }}
          before={[]}
          mayCorrect
          mayPhotograph={false}
          aside={placing.reason_text}
          onClose={() => setPlacing(null)}
          onSaid={() => {
            setPlacing(null);
            setSaid(`Corrected; the log is laid anew with it. ${keptWords()}`);
          }}
        />
      )}
      {asking && (
        <Sheet open onClose={() => setAsking(null)} title="Take it back?" closeLabel="Leave it">
          <TakeBackForm
            note="It stays readable in the log, marked as taken back."
            onSure={(reason) => {
              void takeBack(asking, reason);
              setAsking(null);
              return undefined;
            }}
          />
        </Sheet>
      )}
    </Screen>
  );
}

/** A taste counts by its own day: where that is another than the entry's, it is what went wrong. */
function tastedOn(entry: TrayEntry, now: Moment): string {
  const day = entry.body?.tasted_on;
  if (typeof day !== 'string' || day === dayIn(now.timezone, Date.parse(entry.happened_at))) return '';
  return `Its day is ${dayMonth(day)}. `;
}

function Entry({
  entry,
  onPlace,
  onLeave,
  onTakeBack,
}: {
  entry: TrayEntry;
  onPlace: () => void;
  onLeave: () => void;
  onTakeBack: () => void;
}) {
  const now = moment();
  const what = logWhat(entry, { person: nameOf, place: (id) => placeBy(id)?.name ?? 'another place' });
  // A taste begins with its taster's name.
  const begins = entry.collection === 'tastings' ? what : `${what.charAt(0).toLowerCase()}${what.slice(1)}`;
  const title = entry.barrel_name ? `${entry.barrel_name}: ${begins}` : what;
  return (
    <StaveRow title={title} heading="h2" {...(entry.barrel ? { href: `/barrels/${entry.barrel}/log` } : {})}>
      <span class="ink">{entry.reason_text}</span> {tastedOn(entry, now)}By {nameOf(entry.author)},{' '}
      {nearTime(Date.parse(entry.happened_at), now)}.
      <span class="reservations__acts">
        {entry.ways.includes('correct') && entry.body !== null && <Press onPress={onPlace}>Place it</Press>}
        {entry.ways.includes('leave') && <Press onPress={onLeave}>Leave it</Press>}
        {entry.ways.includes('void') && <Press onPress={onTakeBack}>Take it back</Press>}
      </span>
    </StaveRow>
  );
}
