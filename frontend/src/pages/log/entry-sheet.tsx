import { useState } from 'preact/hooks';
import { Choice } from '~/components/choice/index.tsx';
import { Field } from '~/components/field/index.tsx';
import { Notice } from '~/components/notice/index.tsx';
import { Press } from '~/components/press/index.tsx';
import { Sheet } from '~/components/sheet/index.tsx';
import type { Bodies } from '~/outbox/bodies.ts';
import { barrels, type LogLine, logOf, placeBy } from '~/outbox/overlay.ts';
import { vesselBy } from '~/outbox/overlay-glass.ts';
import { clockIn, dayIn, instantIn, localIso } from '~/science/dates.ts';
import { weighedCapacityL } from '../curing/verdict-sheet.tsx';
import { moment } from '../parts/clock.ts';
import { keep } from '../parts/keep.ts';
import { nameOf } from '../parts/me.ts';
import { PhotoStrip } from '../parts/photo-strip.tsx';
import { TakeBackForm } from '../parts/take-back-form.tsx';
import {
  ASKED_ELSEWHERE,
  fillOfDay,
  partsOf,
  partsWrong,
  takeBackNote,
  tasksWrong,
  verdictFields,
  verdictOf,
} from '../words/correct.ts';
import { mended, mendFields } from '../words/entry.ts';
import { correction } from '../words/history.ts';
import { logWhat } from '../words/log.ts';
import { capital } from '../words/numbers.ts';
import { nearTime } from '../words/time.ts';
import { CorrectFill } from './correct-fill.tsx';
import { CorrectTaste, CorrectTending, CorrectVerdict } from './correct-rest.tsx';

export interface EntrySheetProps {
  line: LogLine;
  /** Its earlier versions, newest first. */
  before: readonly LogLine[];
  mayCorrect: boolean;
  mayPhotograph: boolean;
  /** Why it was set aside, in a sentence. */
  aside?: string;
  onClose: () => void;
  onSaid: (words: string) => void;
}

type Step = 'read' | 'correct' | 'take_back';

/** One entry of the log: all it says, its photos, and the ways to put it right. */
export function EntrySheet(props: EntrySheetProps) {
  const { line, before, mayCorrect, mayPhotograph, aside, onClose, onSaid } = props;
  const [step, setStep] = useState<Step>(aside && mayCorrect ? 'correct' : 'read');
  const now = moment();
  const what = logWhat(line, { person: nameOf, place: (id) => placeBy(id)?.name ?? 'another place' });
  const arrived = line.received_at === null ? null : Date.parse(line.received_at);
  const note = typeof line.body?.note === 'string' ? line.body.note : '';
  return (
    <Sheet
      open
      onClose={onClose}
      title={aside ? 'Place it' : step === 'take_back' ? 'Take it back?' : 'Entry'}
      closeLabel={step === 'read' ? 'Close' : 'Leave it'}
    >
      <div class="stack">
        <p>{line.is_void ? <s>{what}</s> : what}</p>
        {aside && <p class="note ink">{aside}</p>}
        {step === 'read' && (
          <>
            <OutOf body={line.body} />
            {note && <p>“{note}”</p>}
            <p class="note">
              {capital(nearTime(Date.parse(line.happened_at), now))}, by {nameOf(line.author)}.{' '}
              {arrived === null ? 'On this phone.' : `It arrived ${nearTime(arrived, now)}.`}
            </p>
            {before.length > 0 && <p class="note">Corrected. Before, it said:</p>}
            {before.map((one) => (
              <p key={one.id} class="note">
                <s>{logWhat(one, { person: nameOf })}</s>, {nameOf(one.author)},{' '}
                {nearTime(Date.parse(one.entered_at), now)}
              </p>
            ))}
            <PhotoStrip
              acts={[line.id, ...before.map((one) => one.id)]}
              barrel={line.barrel}
              addTo={mayPhotograph ? line.id : undefined}
              what={what}
            />
            {mayCorrect && (
              <>
                <Press onPress={() => setStep('correct')}>Correct it</Press>
                <Press tone="red" onPress={() => setStep('take_back')}>
                  Take it back
                </Press>
              </>
            )}
          </>
        )}
        {step === 'correct' && <CorrectForm line={line} withBarrel={aside !== undefined} onSaid={onSaid} />}
        {step === 'take_back' && (
          <TakeBackForm
            note={takeBackNote(line.collection)}
            onSure={async (reason) => {
              const kept = await keep('voids', { act: line.id, reason });
              if (!kept.ok) return kept.words;
              onSaid('Taken back. It stays in the log, struck.');
              return undefined;
            }}
          />
        )}
      </div>
    </Sheet>
  );
}

/** The vessels a fill came out of, as far as the reader may open them. */
function OutOf({ body }: Pick<LogLine, 'body'>) {
  const parts = Array.isArray(body?.parts) ? (body.parts as { vessel?: unknown }[]) : [];
  const ids = new Set(parts.map((part) => (typeof part.vessel === 'string' ? part.vessel : '')));
  const found = [...ids].map(vesselBy).filter((vessel) => vessel !== undefined);
  if (found.length === 0) return null;
  return (
    <p class="note">
      Out of{' '}
      {found.map((vessel, i) => (
        <>
          {i > 0 && ' and '}
          <a key={vessel.id} class="link" href={`/vessels/${vessel.id}`}>
            {vessel.name || 'a vessel'}
          </a>
        </>
      ))}
    </p>
  );
}

interface FormProps {
  line: LogLine;
  onSaid: (words: string) => void;
}

/** The whole entry anew, with the figures somebody can type. The old one stays readable, struck. */
function CorrectForm({ line, withBarrel, onSaid }: FormProps & { withBarrel: boolean }) {
  const { timezone } = moment();
  const happened_ms = Date.parse(line.happened_at);
  const was = `${dayIn(timezone, happened_ms)}T${clockIn(timezone, happened_ms)}`;
  const body = (line.body ?? {}) as Record<string, unknown>;
  const fields = mendFields({ body: { note: '', ...body }, problem: null }).filter(
    // The number of a glass whose name is told is no longer in question.
    (field) =>
      field.field !== 'name' &&
      !ASKED_ELSEWHERE[line.collection]?.includes(field.field) &&
      !(field.field === 'code' && line.collection === 'tastings'),
  );
  // What no plain field can hold: parts, shares, an outcome, ticks.
  const [said, setSaid] = useState<Record<string, unknown>>({});
  const say = (changed: Record<string, unknown>): void => setSaid((before) => ({ ...before, ...changed }));
  const [verdict, setVerdict] = useState(() => verdictOf(body));
  const weighed_l = weighedCapacityL(verdict.full, verdict.wet, verdict.temp);
  const anew = { ...body, ...said };
  const [when, setWhen] = useState(was);
  const [barrel, setBarrel] = useState(line.barrel ?? '');
  const log = logOf(barrel).value;
  const [typed, setTyped] = useState<Record<string, string>>(
    Object.fromEntries(fields.map((field) => [field.field, field.value])),
  );
  const [wrong, setWrong] = useState('');
  const save = async (event: Event): Promise<void> => {
    event.preventDefault();
    const next = mended({ note: '', ...body }, fields, typed);
    const judged = line.collection === 'curing-verdicts' ? verdictFields(verdict, weighed_l) : null;
    const detail = !next.ok
      ? next.detail
      : judged?.ok === false
        ? judged.detail
        : line.collection === 'fills'
          ? partsWrong(partsOf(anew))
          : line.collection === 'tendings'
            ? tasksWrong(anew)
            : '';
    if (!next.ok || detail) {
      setWrong(detail);
      return;
    }
    const tasted_on = next.body.tasted_on;
    const day_fill =
      withBarrel && line.collection === 'tastings' && typeof tasted_on === 'string'
        ? fillOfDay(log ?? [], tasted_on, timezone)
        : null;
    const [day = '', clock = ''] = when.split('T');
    const at_ms = when === was ? happened_ms : instantIn(timezone, day, clock.slice(0, 5));
    if (Number.isNaN(at_ms)) {
      setWrong('Say the day and the time.');
      return;
    }
    const cleared = Object.fromEntries(
      Object.keys(body)
        .filter((field) => !(field in next.body))
        .map((field) => [field, undefined]),
    );
    const changed = {
      ...next.body,
      ...cleared,
      ...said,
      ...(judged?.ok ? judged.changed : {}),
      // What is placed belongs to what lay in the barrel that day, whichever fill it named.
      ...(day_fill ? { fill: day_fill } : {}),
      ...(typed.note?.trim() ? {} : { note: undefined }),
      ...(line.barrel && barrel !== line.barrel ? { barrel } : {}),
      happened_at: when === was ? line.happened_at : localIso(at_ms),
      time_typed: true,
      entered_at: undefined,
      schema: undefined,
    };
    const kept = await keep(
      line.collection as keyof Bodies,
      correction(line, changed) as unknown as Bodies[keyof Bodies],
    );
    if (kept.ok) onSaid('Corrected. The old entry stays in the log, struck.');
    else setWrong(kept.words);
  };
  return (
    <form class="stack" onSubmit={save} noValidate>
      <Field label="When" type="datetime-local" value={when} onInput={setWhen} />
      {withBarrel && line.barrel && (
        <Choice
          label="Barrel"
          value={barrel}
          onChange={setBarrel}
          options={barrels.value.map((one) => ({ value: one.id, label: one.name }))}
        />
      )}
      {line.collection === 'fills' && <CorrectFill body={anew} onChange={say} />}
      {line.collection === 'tastings' && <CorrectTaste body={anew} onChange={say} />}
      {line.collection === 'tendings' && <CorrectTending body={anew} onChange={say} />}
      {line.collection === 'curing-verdicts' && (
        <CorrectVerdict said={verdict} weighed_l={weighed_l} onChange={setVerdict} />
      )}
      {fields.map((field) => (
        <Field
          key={field.field}
          label={field.label}
          type={field.kind === 'date' ? 'date' : 'text'}
          inputMode={field.kind === 'number' ? 'decimal' : 'text'}
          {...(field.unit ? { unit: field.unit } : {})}
          value={typed[field.field] ?? ''}
          onInput={(text) => setTyped({ ...typed, [field.field]: text })}
        />
      ))}
      {wrong && <Notice tone="red">{wrong}</Notice>}
      <Press type="submit" tone="go" full>
        Save the correction
      </Press>
    </form>
  );
}
