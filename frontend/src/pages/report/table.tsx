import type { ReportLine } from '~/api/types.ts';
import { placeBy } from '~/outbox/overlay.ts';
import { litres } from '../words/numbers.ts';
import {
  careCell,
  nextCell,
  SORTS,
  type SortKey,
  waterBeside,
  woodByKind,
  woodCell,
} from '../words/report.ts';
import type { Moment } from '../words/time.ts';
import { band, holdsWords, isContested, Line, Plank, Rod } from './cells.tsx';
import { isTable } from './form.ts';

export interface ReportTableProps {
  lines: ReportLine[];
  sort: { key: SortKey; down: boolean };
  onSort: (sort: { key: SortKey; down: boolean }) => void;
  now: Moment;
}

/** The desk's table: one stave a barrel. */
export function ReportTable({ lines, sort, onSort, now }: ReportTableProps) {
  if (!isTable.value) return null;
  const head = (key: SortKey, words: string, kind = '') => {
    const isSorted = sort.key === key;
    const press = (): void => {
      const usual = SORTS.find((one) => one.key === key)!.down;
      onSort({ key, down: isSorted ? !sort.down : usual });
    };
    return (
      <th scope="col" class={kind} aria-sort={isSorted ? (sort.down ? 'descending' : 'ascending') : 'none'}>
        <button type="button" class={isSorted ? 'report__sorter due' : 'report__sorter'} onClick={press}>
          {words}
          {isSorted && <span aria-hidden="true"> {sort.down ? '↓' : '↑'}</span>}
        </button>
      </th>
    );
  };
  return (
    <div class="report__scroll">
      <table class="report__table">
        <caption class="sr">Every barrel with what it holds, what it lost, its wood and its care</caption>
        <thead>
          <tr>
            {head('name', 'Barrel')}
            {head('capacity', 'Size', 'report__right')}
            <th scope="col">
              <span class="sr">Level</span>
            </th>
            <th scope="col">Fourteen months</th>
            {head('holds', 'Holds now')}
            {head('days', 'Day', 'report__right')}
            {head('volume', 'Litres')}
            {head('abv', '% vol')}
            {head('lost', 'Lost')}
            {head('wood', 'Wood left')}
            {head('care', 'Care')}
            {head('next', 'Next fill')}
          </tr>
        </thead>
        <tbody>
          {lines.map((line) => (
            <Row key={line.id} line={line} now={now} />
          ))}
        </tbody>
      </table>
    </div>
  );
}

/** What it began with, to as many figures as matter beside a range. */
function rounded(volume_l: number): number {
  return Number(volume_l.toFixed(volume_l >= 3 ? 1 : 2));
}

function Row({ line, now }: { line: ReportLine; now: Moment }) {
  const care = careCell(line, now);
  const wood = woodCell(line);
  // What is late stands first; a hold's water is told all the same.
  const water = care.tone === '' ? '' : waterBeside(line, care.words, now);
  const isGone = line.state === 'retired';
  return (
    <tr class={isGone ? 'report__gone' : undefined}>
      <th scope="row">
        <a
          class={line.name.length <= 14 ? 'report__name report__name--short' : 'report__name'}
          href={`/barrels/${line.id}`}
        >
          {line.name}
        </a>
        <span class="sr">, {placeBy(line.place)?.name}</span>
      </th>
      <td class="report__right soft">{litres(line.capacity_l, 1)}</td>
      <td>
        <Rod line={line} />
      </td>
      <td class="report__line">
        <Line line={line} now_ms={now.now_ms} />
      </td>
      <td>{holdsWords(line)}</td>
      <td class="report__right">{line.days === null ? '' : Math.floor(line.days) + 1}</td>
      <td class="report__figure">
        <span class="reck">{band(line.volume_l)}</span>
        {line.volume_l && line.start_volume_l !== null && (
          <span class="soft"> of {rounded(line.start_volume_l)}</span>
        )}
      </td>
      <td class="report__figure">
        <span class="reck">{band(line.abv_pct)}</span>
        {line.abv_pct && line.start_abv_pct !== null && (
          <span class="soft"> was {Number(line.start_abv_pct.toFixed(1))}</span>
        )}
      </td>
      <td class="reck">{band(line.loss_pct, '%')}</td>
      <td title={woodByKind(line)}>
        {wood && (
          <span class="report__wood">
            <Plank line={line} />
            <span class="reck">{wood}</span>
            <span class="sr">, by kind: {woodByKind(line)}</span>
          </span>
        )}
      </td>
      <td>
        <span class={care.tone}>{care.words}</span>
        {water && <span class="soft">, {water}</span>}
      </td>
      <td>{nextCell(line, isContested(line.id))}</td>
    </tr>
  );
}
