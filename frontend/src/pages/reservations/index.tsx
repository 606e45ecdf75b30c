import { useState } from 'preact/hooks';
import type { Reservation } from '~/api/types.ts';
import { Field } from '~/components/field/index.tsx';
import { Notice } from '~/components/notice/index.tsx';
import { Press } from '~/components/press/index.tsx';
import { Screen } from '~/components/screen/index.tsx';
import { Section } from '~/components/section/index.tsx';
import { Sheet } from '~/components/sheet/index.tsx';
import { Sill } from '~/components/sill/index.tsx';
import { StaveList } from '~/components/stave-list/index.tsx';
import { Title } from '~/components/words/index.tsx';
import { barrelBy, reservations } from '~/outbox/overlay.ts';
import { outboxEntries } from '~/outbox/queue.ts';
import { settled } from '~/outbox/record.ts';
import { BarrelRow } from '../parts/barrel-row.tsx';
import { moment } from '../parts/clock.ts';
import { EmptyRoom } from '../parts/empty-room.tsx';
import { Fresh } from '../parts/fresh.tsx';
import { keep } from '../parts/keep.ts';
import { isKeeper, myId, nameOf } from '../parts/me.ts';
import { carryOverSentence } from '../words/inside.ts';
import { capital, litres, unit } from '../words/numbers.ts';
import { capitalFill, datesWords, isOpen, reservationState, wantedTwice } from '../words/reserve.ts';
import { nearDayOf, today } from '../words/time.ts';
import './style.css';

type Asking = { kind: 'refuse' | 'withdraw'; reservation: Reservation };

/** Who has which barrel next: the keeper confirms and refuses, everybody sees and withdraws their own. */
export default function ReservationsPage() {
  const now = moment();
  const day = today(now);
  const [asking, setAsking] = useState<Asking | null>(null);
  const [said, setSaid] = useState('');
  const [problem, setProblem] = useState('');
  const keeper = isKeeper();
  const all = [...reservations.value].sort((a, b) => a.starts_on.localeCompare(b.starts_on));
  const open = all.filter((one) => isOpen(one) && one.ends_on > day);
  const mine = (one: Reservation): boolean =>
    one.person === myId() || one.shares.some((share) => share.person === myId());
  const clashes = wantedTwice(open);
  const isContested = (one: Reservation): boolean =>
    clashes.some((clash) => clash.first.id === one.id || clash.second.id === one.id);
  const forKeeper = keeper ? open.filter((one) => one.state === 'pencilled') : [];
  const own = open.filter((one) => mine(one) && !forKeeper.includes(one));
  const others = open.filter((one) => !mine(one) && !forKeeper.includes(one));
  const past = all.filter((one) => mine(one) && !open.includes(one)).slice(-5);

  const decide = async (
    one: Reservation,
    decision: 'confirm' | 'refuse' | 'withdraw',
    reason = '',
  ): Promise<void> => {
    setProblem('');
    const kept = await keep('reservation-decisions', {
      reservation: one.id,
      decision,
      ...(reason.trim() ? { reason: reason.trim() } : {}),
    });
    if (!kept.ok) {
      setProblem(kept.words);
      return;
    }
    const entry = await settled(kept.recorded.id, { timeout_ms: 8_000 });
    const name = barrelBy(one.barrel)?.name ?? 'The barrel';
    if (entry?.state === 'refused') setProblem(entry.problem?.detail ?? 'The server refused it.');
    else if (entry?.state === 'done') setSaid(`${name}: ${WORDS[decision]}.`);
    else setSaid(`${name}: kept on this phone; it goes when there is signal.`);
  };

  const row = (one: Reservation) => (
    <Row
      key={one.id}
      reservation={one}
      contested={isContested(one)}
      onConfirm={() => void decide(one, 'confirm')}
      onAsk={(kind) => setAsking({ kind, reservation: one })}
    />
  );
  const group = (title: string, rows: Reservation[]) =>
    rows.length > 0 && (
      <>
        <Section class="gap5">
          <h2 class="lead b">{title}</h2>
        </Section>
        <div class="gap3">
          <StaveList label={title}>{rows.map(row)}</StaveList>
        </div>
      </>
    );
  return (
    <Screen
      title="Reservations"
      announce={said || problem}
      top={{ back: { href: '/', label: 'Back' }, right: <Fresh /> }}
      sill={
        <Sill
          left={{ label: 'Barrels', href: '/barrels' }}
          act={{ label: 'Reserve', href: '/reserve' }}
          right={{ label: keeper ? 'More' : 'Mine', href: '/mine' }}
        />
      }
    >
      <Section>
        <Title>Reservations</Title>
        {said && <p class="ok tick gap2">{said}</p>}
      </Section>
      {problem && <Notice tone="red">{problem}</Notice>}
      {group('Waiting for your word', forKeeper)}
      {group('Yours', own)}
      {group('In the club', others)}
      {group('Past', past)}
      {open.length === 0 && past.length === 0 && (
        <Section>
          <EmptyRoom>
            <p>Nobody has asked for a barrel.</p>
            <Press href="/reserve">Reserve one</Press>
          </EmptyRoom>
        </Section>
      )}
      {asking && (
        <ReasonSheet
          asking={asking}
          onClose={() => setAsking(null)}
          onSure={(reason) => {
            setAsking(null);
            void decide(asking.reservation, asking.kind, reason);
          }}
        />
      )}
    </Screen>
  );
}

const WORDS = { confirm: 'confirmed', refuse: 'refused', withdraw: 'withdrawn' };

interface RowProps {
  reservation: Reservation;
  contested: boolean;
  onConfirm: () => void;
  onAsk: (kind: 'refuse' | 'withdraw') => void;
}

function Row({ reservation, contested, onConfirm, onAsk }: RowProps) {
  const now = moment();
  const barrel = barrelBy(reservation.barrel);
  const isMine = reservation.person === myId();
  const mayDecide = isKeeper() || (barrel?.owners.some((share) => share.person === myId()) ?? false);
  const isOnItsWay = outboxEntries.value.some(
    (entry) =>
      entry.collection === 'reservation-decisions' &&
      entry.body.reservation === reservation.id &&
      (entry.state === 'queued' || entry.state === 'sending'),
  );
  const carry = barrel ? carryOverSentence(barrel) : null;
  const words = (
    <>
      <span class="ink">
        {capitalFill(reservation)}, {litres(reservation.volume_l)}
        {reservation.abv_pct === null ? '' : ` at ${unit(reservation.abv_pct, '% vol')}`}, for{' '}
        {isMine ? 'you' : nameOf(reservation.person)}.
      </span>{' '}
      {capital(datesWords(reservation.starts_on, reservation.ends_on))}. {reservationState(reservation)}{' '}
      {reservation.state === 'pencilled' && reservation.expires_at !== null && (
        <>It lapses {nearDayOf(Date.parse(reservation.expires_at), now)}. </>
      )}
      {contested && <span class="due">Wanted twice. </span>}
      {mayDecide && isOpen(reservation) && carry} {reservation.note && `“${reservation.note}” `}
      {isOnItsWay && <span class="ink">Your word is on this phone; it goes when there is signal. </span>}
      {!isOnItsWay && isOpen(reservation) && (
        <span class="reservations__acts">
          {mayDecide && reservation.state !== 'confirmed' && (
            <Press tone={reservation.state === 'pencilled' ? 'go' : 'plain'} onPress={onConfirm}>
              Confirm
            </Press>
          )}
          {mayDecide && !isMine && <Press onPress={() => onAsk('refuse')}>Refuse</Press>}
          {isMine && <Press onPress={() => onAsk('withdraw')}>Withdraw</Press>}
        </span>
      )}
    </>
  );
  if (!barrel) return <li class="note">{words}</li>;
  return (
    <BarrelRow
      barrel={barrel}
      proud={contested ? 'lamp' : undefined}
      tone={isOpen(reservation) ? undefined : 'done'}
    >
      {words}
    </BarrelRow>
  );
}

function ReasonSheet({
  asking,
  onClose,
  onSure,
}: {
  asking: Asking;
  onClose: () => void;
  onSure: (reason: string) => void;
}) {
  const [reason, setReason] = useState('');
  const [wrong, setWrong] = useState('');
  const isRefusal = asking.kind === 'refuse';
  const sure = (event: Event): void => {
    event.preventDefault();
    if (isRefusal && !reason.trim()) {
      setWrong('Say why, so that whoever asked understands.');
      return;
    }
    onSure(reason);
  };
  return (
    <Sheet open onClose={onClose} title={isRefusal ? 'Refuse it?' : 'Withdraw it?'} closeLabel="Leave it">
      <form class="stack" onSubmit={sure} noValidate>
        <p>
          {capitalFill(asking.reservation)},{' '}
          {datesWords(asking.reservation.starts_on, asking.reservation.ends_on)}.
        </p>
        <Field
          label="Why"
          value={reason}
          onInput={(text) => {
            setReason(text);
            setWrong('');
          }}
          maxLength={300}
          error={wrong}
          hint={isRefusal ? `${nameOf(asking.reservation.person)} reads this.` : 'May stay empty.'}
        />
        <Press type="submit" tone={isRefusal ? 'red' : 'go'} full>
          {isRefusal ? 'Refuse' : 'Withdraw'}
        </Press>
      </form>
    </Sheet>
  );
}
