import { useState } from 'preact/hooks';
import type { ReportLine } from '~/api/types.ts';
import { StaveList } from '~/components/stave-list/index.tsx';
import { StaveRow } from '~/components/stave-row/index.tsx';
import { placeBy } from '~/outbox/overlay.ts';
import { litres } from '../words/numbers.ts';
import { careCell, nextCell, usedWords, waterCell, woodByKind, woodCell } from '../words/report.ts';
import type { Moment } from '../words/time.ts';
import { band, holdsWords, isContested, Line, Rod } from './cells.tsx';
import { isTable } from './form.ts';

/** The phone's report: a stave a barrel, three figures each, the rest on opening. */
export function ReportStaves({ lines, now }: { lines: ReportLine[]; now: Moment }) {
  const [open, setOpen] = useState<string | null>(null);
  if (isTable.value) return null;
  return (
    <StaveList label="Barrels of the report">
      {lines.map((line) => (
        <Stave
          key={line.id}
          line={line}
          now={now}
          isOpen={open === line.id}
          onOpen={() => setOpen(open === line.id ? null : line.id)}
        />
      ))}
    </StaveList>
  );
}

function Stave({
  line,
  now,
  isOpen,
  onOpen,
}: {
  line: ReportLine;
  now: Moment;
  isOpen: boolean;
  onOpen: () => void;
}) {
  const care = careCell(line, now);
  const wood = woodCell(line);
  return (
    <StaveRow figure={<Rod line={line} />} name={line.name} heading="h2" onPress={onOpen}>
      <p>
        {holdsWords(line)}
        {line.days === null ? '' : `, day ${Math.floor(line.days) + 1}`}
      </p>
      <p class="ink">
        {[
          line.volume_l ? `${band(line.volume_l)}\u00a0L` : litres(line.capacity_l, 1),
          line.abv_pct ? `${band(line.abv_pct, '% vol')}` : '',
          line.loss_pct ? `lost ${band(line.loss_pct, '%')}` : wood ? `wood: ${wood}` : '',
        ]
          .filter(Boolean)
          .join(' · ')}
      </p>
      {care.words && <p class={care.tone}>{care.words}</p>}
      {isOpen && (
        <div class="report__more">
          <Line line={line} now_ms={now.now_ms} height={18} />
          <dl>
            <More term="Place" words={placeBy(line.place)?.name ?? ''} />
            <More term="At the fill" words={startWords(line)} />
            <More term="Wood" words={usedWords(line)} />
            <More term="Wood left" words={woodByKind(line) || wood} />
            <More term="Water" words={waterCell(line, now)} />
            <More term="Next fill" words={nextCell(line, isContested(line.id))} />
          </dl>
          <a class="link" href={`/barrels/${line.id}`}>
            Open {line.name}
          </a>
        </div>
      )}
    </StaveRow>
  );
}

function More({ term, words }: { term: string; words: string }) {
  if (!words) return null;
  return (
    <div>
      <dt>{term}</dt>
      <dd>{words}</dd>
    </div>
  );
}

function startWords(line: ReportLine): string {
  if (line.start_volume_l === null) return '';
  const strength =
    line.start_abv_pct === null ? '' : ` at ${Number(line.start_abv_pct.toFixed(1))}\u00a0%\u00a0vol`;
  return `${litres(line.start_volume_l)}${strength}`;
}
