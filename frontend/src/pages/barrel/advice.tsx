import { Note, Say, Verdict } from '~/components/words/index.tsx';
import type { ShownBarrel } from '~/outbox/overlay.ts';
import { moment } from '../parts/clock.ts';
import { halfMarkMm } from '../parts/half-mark.ts';
import { myId, nameOf } from '../parts/me.ts';
import { isInSolution, isOutline, liftingWords, sharersSentence, stateSentence } from '../words/barrel.ts';
import { dueLines, dueSentence, harmfullyLate, lateSentence, nextLine, taskAct } from '../words/care.ts';
import { plannedWords } from '../words/first.ts';
import { capital, litres } from '../words/numbers.ts';
import { datesWords } from '../words/reserve.ts';
import { nearDayOf } from '../words/time.ts';
import { quarantineWords, troubleNote, troubleVerdict } from '../words/trouble.ts';
import { loanWords } from '../words/wood-work.ts';

/** The verdict over a barrel: trouble first, then what is late, due, or when the next thing comes. */
export function Advice({ barrel }: { barrel: ShownBarrel }) {
  const now = moment();
  const trouble = barrel.troubles[0];
  const late = harmfullyLate(barrel, now);
  const due = dueLines(barrel.care, now);
  const next = nextLine(barrel.care, now);
  // With nothing due and nothing next the state itself is what there is to say.
  const saysState = !late && due.length === 0 && !next && !trouble && barrel.state !== 'retired';
  const lifting = liftingWords(barrel);
  const reservation = barrel.next_reservation;
  const loan = loanWords(barrel, now);
  return (
    <div class="stack">
      {trouble && barrel.contents?.kind !== 'curing' ? (
        <>
          <Verdict as="p">{troubleVerdict(trouble.kind)}</Verdict>
          <p>
            Since {nearDayOf(Date.parse(trouble.since), now)}. {troubleNote(trouble)}{' '}
            {quarantineWords(barrel) && <span class="red">{quarantineWords(barrel)}</span>}
          </p>
        </>
      ) : null}
      {late ? (
        <Say tone="red">{lateSentence(late, now)}</Say>
      ) : due.length > 0 ? (
        <Say>
          <span class="due">{dueSentence(due)}</span>
        </Say>
      ) : barrel.state === 'retired' || trouble || (saysState && !barrel.contents) ? null : (
        <Say>
          {next
            ? `All is done. Next: ${taskAct(next.task)}, ${nearDayOf(Date.parse(next.due_at), now)}.`
            : stateSentence(barrel, now)}
        </Say>
      )}
      <Note>
        {/* An empty barrel says it beside its picture. */}
        {barrel.contents && !saysState && `${stateSentence(barrel, now)} `}
        {barrel.contents && !isOutline(barrel.contents) && sharersSentence(barrel.contents, myId(), nameOf)}{' '}
        {plannedWords(barrel, now)}
      </Note>
      {loan && <p>{loan}</p>}
      {/* Of one that is in somebody else's house nothing can be done here. */}
      {!loan &&
        barrel.state === 'held' &&
        barrel.water &&
        (isInSolution(barrel) ? <SolutionHelp /> : <HoldHelp barrel={barrel} />)}
      {lifting && !loan && <Note tone="ink">{capital(lifting)}</Note>}
      {reservation && (
        <Note>
          {nameOf(reservation.person)} {reservation.state === 'confirmed' ? 'has it' : 'pencilled it'} from{' '}
          {datesWords(reservation.starts_on, reservation.ends_on)}.
        </Note>
      )}
    </div>
  );
}

function SolutionHelp() {
  return (
    <>
      <p>Keep it full. Smell it and strip it each month; renew it after three.</p>
      <Note tone="ink">
        There is sulphite in it. Before a fill: drain, rinse three times, soak a day, and strip that water.
      </Note>
    </>
  );
}

function HoldHelp({ barrel }: { barrel: ShownBarrel }) {
  const { half_volume_l, top_up_at } = barrel.water!;
  const mm = halfMarkMm(barrel);
  const now = moment();
  // New water comes with the weekly care: only a level that sinks before it has a date of its own.
  const watered = barrel.care.filter((line) => line.task === 'top_up' || line.task === 'water_change');
  const isSooner =
    top_up_at !== null && watered.every((line) => Date.parse(top_up_at) < Date.parse(line.due_at));
  return (
    <>
      <p>
        Smell it, empty it, rinse till clear, fill to{' '}
        <b>
          {mm}
          {'\u00a0'}mm
        </b>{' '}
        at the bung: {litres(half_volume_l)}, the half mark.
        {top_up_at && isSooner && ` Top up by ${nearDayOf(Date.parse(top_up_at), now)}.`}
      </p>
      <Note>A dose of spirit is scent, not protection. Leave any sulphite to the keeper, outdoors.</Note>
    </>
  );
}
