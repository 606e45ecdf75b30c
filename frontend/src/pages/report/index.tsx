import './style.css';
import { useMemo, useState } from 'preact/hooks';
import { useLocation } from 'preact-iso';
import { session } from '~/api/session.ts';
import type { Report, ReportLine } from '~/api/types.ts';
import { Choice } from '~/components/choice/index.tsx';
import { Empty } from '~/components/empty/index.tsx';
import { Loading } from '~/components/loading/index.tsx';
import { Notice } from '~/components/notice/index.tsx';
import { Screen } from '~/components/screen/index.tsx';
import { Section } from '~/components/section/index.tsx';
import { Sill } from '~/components/sill/index.tsx';
import { Title } from '~/components/words/index.tsx';
import { barrelBy, places } from '~/outbox/overlay.ts';
import { report, reportCsvUrl, useAnswer } from '~/sync/answers.ts';
import { syncStatus } from '~/sync/status.ts';
import { moment } from '../parts/clock.ts';
import { Fresh } from '../parts/fresh.tsx';
import { isKeeper, myRole } from '../parts/me.ts';
import { NotAllowed } from '../parts/missing.tsx';
import { STATES } from '../words/barrel.ts';
import { counted } from '../words/numbers.ts';
import {
  csvOrder,
  filteredLines,
  honestySentences,
  type ReportFilter,
  SORTS,
  type SortKey,
  sortedLines,
  stockSentence,
  woodSentence,
  wrongSentence,
} from '../words/report.ts';
import { fullDay, nearTime, today } from '../words/time.ts';
import { ReportStaves } from './staves.tsx';
import { ReportTable } from './table.tsx';

/** Between two fills the wood is counted in what it held last, as on the barrel's own screen. */
function withLastSpirit(line: ReportLine): ReportLine {
  return { ...line, spirit: line.spirit || barrelBy(line.id)?.held_before.at(-1)?.spirit || null };
}

/** The whole programme on one page. */
export default function ReportPage() {
  const { path } = useLocation();
  if (!isKeeper()) {
    return <NotAllowed title="Cellar report" words="Only the keeper and the admin read the cellar report." />;
  }
  return <Room isFirst={path === '/'} />;
}

function Room({ isFirst }: { isFirst: boolean }) {
  const now = moment();
  const { value: answer, refresh } = useAnswer(report);
  const [filter, setFilter] = useState<ReportFilter>({ place: '', state: '' });
  const [sort, setSort] = useState<{ key: SortKey; down: boolean }>({ key: 'capacity', down: true });
  const found = useMemo(
    () => answer.data && { ...answer.data, barrels: answer.data.barrels.map(withLastSpirit) },
    [answer.data],
  );
  const lines = useMemo(
    () => (found ? sortedLines(filteredLines(found.barrels, filter), sort.key, sort.down) : []),
    [found, filter, sort],
  );
  // The pictures are the dear part: they are drawn anew for new figures, not for each word of the sync's progress.
  const drawn = useMemo(
    () => (
      <>
        <Section class="report__desk">
          <ReportTable lines={lines} sort={sort} onSort={setSort} now={now} />
        </Section>
        <div class="report__phone">
          <ReportStaves lines={lines} now={now} />
        </div>
      </>
    ),
    [lines, sort, now.now_ms, now.timezone],
  );
  const noSignal = answer.problem?.code === 'no_signal' || !syncStatus.value.has_signal;
  const left = isFirst ? session.value.person?.name : undefined;
  return (
    <Screen
      title="Cellar report"
      wide
      announce={
        found && found.barrels.length > 0
          ? `${counted(lines.length, 'barrel', 'barrels')} in the table.`
          : undefined
      }
      top={{
        ...(isFirst ? { left } : { back: { href: '/', label: 'Home' } }),
        right:
          noSignal && answer.as_of_ms !== null ? (
            <>no signal, as of {nearTime(answer.as_of_ms, now)}</>
          ) : (
            <Fresh />
          ),
      }}
      sill={
        <Sill
          left={{ label: 'Walk', href: '/walk' }}
          act={{ label: 'Barrels', href: '/barrels' }}
          right={{ label: 'More', href: '/mine' }}
        />
      }
    >
      <Section>
        <div class="report__head">
          <Title>
            Cellar report{' '}
            <span class="report__where">
              {session.value.club?.name}, {fullDay(today(now))}
            </span>
          </Title>
          <div class="report__tools noprint">
            <button type="button" class="link" onClick={() => print()}>
              Print
            </button>
            <a class="link" href={reportCsvUrl({ ...filter, order: csvOrder(sort.key, sort.down) })} download>
              CSV
            </a>
            <button type="button" class="link" onClick={() => void refresh()}>
              {answer.loading ? 'Fetching' : 'Fetch anew'}
            </button>
          </div>
        </div>
      </Section>
      {answer.problem && answer.problem.code !== 'no_signal' && (
        <Notice tone="red">{answer.problem.detail}</Notice>
      )}
      {!found && (answer.loading ? <Loading label="Reading the cellar" /> : <NoReport noSignal={noSignal} />)}
      {found?.barrels.length === 0 && <NoBarrels />}
      {found && found.barrels.length > 0 && (
        <>
          <Section>
            <Sentences report={found} />
            <Tools filter={filter} sort={sort} lines={found.barrels} onFilter={setFilter} onSort={setSort} />
          </Section>
          {lines.length === 0 ? (
            <Section>
              <Empty>
                <p>No barrel stands there in that state.</p>
                <button type="button" class="link" onClick={() => setFilter({ place: '', state: '' })}>
                  Show all
                </button>
              </Empty>
            </Section>
          ) : (
            drawn
          )}
          <Honesty report={found} />
          <Section class="gap5">
            <p class="note">
              Serif figures are calculated, with the range that holds four times in five. Each rod is wet to
              the true dip. In the time-line amber is a fill, water a hold. Oak is never a month of age. Local
              law and your licensing authority decide what may be aged.
            </p>
          </Section>
        </>
      )}
    </Screen>
  );
}

function NoReport({ noSignal }: { noSignal: boolean }) {
  return (
    <Section>
      <Empty>
        <p>
          {noSignal
            ? 'The report needs signal the first time; afterwards the last one stays on this device.'
            : 'There is no report yet.'}
        </p>
      </Empty>
    </Section>
  );
}

/** A club that begins: what comes first, in order. */
function NoBarrels() {
  return (
    <Section>
      <Empty>
        <p>No barrels yet. A club begins like this:</p>
        <ol class="report__begin">
          {myRole() === 'admin' && (
            <li>
              <a href="/members">Add its people</a>, keepers first.
            </li>
          )}
          <li>
            <a href="/settings/club">Write down what the law says</a> where you are.
          </li>
          <li>
            <a href="/adopt">Register the first barrel</a>; its room is named with it.
          </li>
        </ol>
      </Empty>
    </Section>
  );
}

/** Three sentences: stock and loss, wood and water, what is wrong. */
function Sentences({ report: found }: { report: Report }) {
  const wrong = wrongSentence(found);
  return (
    <div class="report__sentences reck">
      <p>{stockSentence(found)}</p>
      <p>{woodSentence(found)}</p>
      <p class={wrong ? 'red' : undefined}>{wrong ?? 'Nothing is wrong, and no care is late.'}</p>
    </div>
  );
}

/** How past forecasts did; a report that was kept from before says nothing of it. */
function Honesty({ report: found }: { report: Report }) {
  const said = honestySentences(found.forecasts);
  if (said.length === 0) return null;
  return (
    <Section class="gap5">
      <h2 class="lead b">How forecasts did</h2>
      {said.map((sentence) => (
        <p key={sentence} class="reck gap2">
          {sentence}
        </p>
      ))}
    </Section>
  );
}

interface ToolsProps {
  filter: ReportFilter;
  sort: { key: SortKey; down: boolean };
  lines: ReportLine[];
  onFilter: (filter: ReportFilter) => void;
  onSort: (sort: { key: SortKey; down: boolean }) => void;
}

function Tools({ filter, sort, lines, onFilter, onSort }: ToolsProps) {
  const here = new Set(lines.map((line) => line.place));
  const states = Object.entries(STATES).filter(([state]) => lines.some((line) => line.state === state));
  return (
    <div class="report__filters noprint">
      <Choice
        label="Place"
        value={filter.place}
        onChange={(place) => onFilter({ ...filter, place })}
        options={[
          { value: '', label: 'All places' },
          ...places.value
            .filter((place) => here.has(place.id))
            .map((place) => ({ value: place.id, label: place.name })),
        ]}
      />
      <Choice
        label="State"
        value={filter.state}
        onChange={(state) => onFilter({ ...filter, state })}
        options={[{ value: '', label: 'Any state' }, ...states.map(([value, label]) => ({ value, label }))]}
      />
      <div class="report__sort">
        <Choice
          label="Sorted by"
          value={sort.key}
          onChange={(key) => {
            const chosen = SORTS.find((one) => one.key === key)!;
            onSort({ key: chosen.key, down: chosen.down });
          }}
          options={SORTS.map(({ key, label }) => ({ value: key, label }))}
        />
      </div>
    </div>
  );
}
