import './log-lines.css';
import { useState } from 'preact/hooks';
import { Loading } from '~/components/loading/index.tsx';
import { Section } from '~/components/section/index.tsx';
import type { LogLine } from '~/outbox/overlay.ts';
import { barrelBy, logOf, placeBy } from '~/outbox/overlay.ts';
import { earlierVersions, standing, voidOf } from '../words/history.ts';
import { LOG_GROUPS, logWhat } from '../words/log.ts';
import { isCovered } from '../words/pull.ts';
import { isMyTaste } from '../words/taste.ts';
import { nearTime } from '../words/time.ts';
import { moment } from './clock.ts';
import { CorrectSheet } from './correct-sheet.tsx';
import { myId, nameOf } from './me.ts';
import { PhotoStrip } from './photo-strip.tsx';

const HERE: Record<LogLine['here'], string> = {
  sent: '',
  on_this_phone: 'on this phone',
  sending: 'going now',
  sent_back: 'sent back',
  conflicted: 'changed by somebody else',
};

export interface LogLinesProps {
  barrel: string;
  most?: number;
  group?: string;
  /** Opens an entry; the short log of a barrel's page has none. */
  onOpen?: (line: LogLine) => void;
}

/** A barrel's log, newest first, one line an entry. */
export function LogLines({ barrel, most, group = 'all', onOpen }: LogLinesProps) {
  const now = moment();
  const [correcting, setCorrecting] = useState<LogLine | null>(null);
  const log = logOf(barrel).value;
  if (log === null) return <Loading label="Reading the log" />;
  const holds = LOG_GROUPS.find((one) => one.value === group)?.holds ?? null;
  const before = earlierVersions(log);
  const lines = standing(log).filter((line) => !holds || holds.includes(line.collection));
  if (lines.length === 0) {
    return (
      <Section>
        <p class="note gap3">{holds && log.length > 0 ? 'Nothing of that kind.' : 'Nothing yet.'}</p>
      </Section>
    );
  }
  const held = barrelBy(barrel);
  const shown = most ? lines.slice(0, most) : lines;
  return (
    <Section>
      <ol class="log-lines" aria-label="Log, newest first">
        {shown.map((line) => (
          <Line
            key={line.id}
            line={line}
            now={now}
            isCovered={isCovered(line, held, log, myId())}
            before={onOpen ? (before.get(line.id) ?? []) : []}
            reason={line.is_void ? voidOf(log, line.id) : undefined}
            onCorrect={setCorrecting}
            onOpen={onOpen}
          />
        ))}
      </ol>
      {correcting && <CorrectSheet line={correcting} onClose={() => setCorrecting(null)} />}
    </Section>
  );
}

interface LineProps {
  line: LogLine;
  now: ReturnType<typeof moment>;
  /** A score that its reader has not answered with their own yet. */
  isCovered: boolean;
  /** What it said before it was corrected. */
  before: readonly LogLine[];
  /** What took it back. */
  reason: LogLine | undefined;
  onCorrect: (line: LogLine) => void;
  onOpen: ((line: LogLine) => void) | undefined;
}

function Line({ line, now, isCovered: covered, before, reason, onCorrect, onOpen }: LineProps) {
  const place = (id: string): string => placeBy(id)?.name ?? 'another place';
  const what = covered
    ? `${nameOf(line.subject ?? line.author)} gave a score; it shows when yours is saved`
    : logWhat(line, { person: nameOf, place });
  const says = [
    nearTime(Date.parse(line.happened_at), now),
    line.collection === 'tastings' || line.collection === 'pull-votes' ? '' : nameOf(line.author),
    HERE[line.here],
    line.placement === 'set_aside' && line.here === 'sent' ? 'needs the keeper' : '',
    line.replaces ? 'corrected' : '',
    line.is_void
      ? `taken back${typeof reason?.body?.reason === 'string' ? `: ${reason.body.reason}` : ''}`
      : '',
    line.flags.includes('outlier') ? 'unusual' : '',
    line.flags.includes('over_capacity') ? 'more than it holds' : '',
    line.flags.includes('quarantine') ? 'in quarantine' : '',
    line.flags.includes('drawn_apart') ? 'drawn without knowing of another tie' : '',
    line.flags.includes('over_vessel') ? 'more than was left in its vessel' : '',
  ].filter(Boolean);
  const note = !covered && typeof line.body?.note === 'string' ? line.body.note : '';
  return (
    <li class="log-line">
      <p>{line.is_void ? <s>{what}</s> : what}</p>
      {note && <p class="log-line__note">“{note}”</p>}
      <p class="note">{says.join(', ')}</p>
      {!covered &&
        before.map((one) => (
          <p key={one.id} class="note">
            <s>{logWhat(one, { person: nameOf, place })}</s>, {nameOf(one.author)},{' '}
            {nearTime(Date.parse(one.entered_at), now)}
          </p>
        ))}
      {onOpen && !covered && (
        <>
          <PhotoStrip acts={[line.id, ...before.map((one) => one.id)]} barrel={line.barrel} what={what} />
          <button type="button" class="link log-line__act" onClick={() => onOpen(line)}>
            Open<span class="sr"> {what}</span>
          </button>
        </>
      )}
      {!onOpen && isMyTaste(line, myId()) && (
        <button type="button" class="link log-line__act" onClick={() => onCorrect(line)}>
          Correct<span class="sr"> {what}</span>
        </button>
      )}
    </li>
  );
}
