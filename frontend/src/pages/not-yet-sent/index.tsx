import './style.css';
import { useState } from 'preact/hooks';
import { Press } from '~/components/press/index.tsx';
import { Screen } from '~/components/screen/index.tsx';
import { Section } from '~/components/section/index.tsx';
import { Sheet } from '~/components/sheet/index.tsx';
import { Sill } from '~/components/sill/index.tsx';
import { StaveList } from '~/components/stave-list/index.tsx';
import { ProudRow, StaveRow } from '~/components/stave-row/index.tsx';
import { Brand, Title } from '~/components/words/index.tsx';
import { isSentBack, isUnsent, type OutboxEntry } from '~/outbox/entry.ts';
import { saveUnsentFile } from '~/outbox/file.ts';
import { barrelBy, placeBy } from '~/outbox/overlay.ts';
import { type QueuedPhoto, queuedPhotos } from '~/outbox/photos.ts';
import { outboxEntries } from '~/outbox/queue.ts';
import { discard, discardPhoto, keepMine, keepTheirs, tryAgain } from '~/outbox/record.ts';
import { stateWords } from '~/outbox/words.ts';
import { syncNow } from '~/sync/start.ts';
import { syncStatus } from '~/sync/status.ts';
import { moment, nowMs } from '../parts/clock.ts';
import { Fresh } from '../parts/fresh.tsx';
import { nameOf } from '../parts/me.ts';
import { entryTitle } from '../words/entry.ts';
import { capital, counted, inWords } from '../words/numbers.ts';
import { photoTitle, photoWords } from '../words/photo.ts';
import { nearTime } from '../words/time.ts';
import { MendSheet } from './mend-sheet.tsx';

const MOST_ARRIVED = 12;

/** What is only on this phone, what was sent back, and what arrived. */
export default function NotYetSent() {
  const now = moment();
  const [mending, setMending] = useState<OutboxEntry | null>(null);
  const [dropping, setDropping] = useState<OutboxEntry | null>(null);
  const [said, setSaid] = useState('');
  const [isTrying, setTrying] = useState(false);
  const all = outboxEntries.value;
  const unsent = all.filter(isUnsent);
  const waiting = unsent.filter((entry) => !isSentBack(entry));
  const sentBack = unsent.filter(isSentBack);
  const photos = queuedPhotos.value;
  const count = unsent.length + photos.length;
  const refusedPhotos = photos.filter((photo) => photo.refused !== null).length;
  const arrived = all.filter((entry) => entry.state === 'done').reverse();

  const tryNow = async (): Promise<void> => {
    if (isTrying) return;
    setTrying(true);
    await syncNow();
    setTrying(false);
    const left = outboxEntries.value.filter(isUnsent).length + queuedPhotos.value.length;
    setSaid(
      left === 0
        ? 'All has arrived.'
        : syncStatus.value.has_signal
          ? `${capital(counted(left, 'is', 'are'))} still here.`
          : 'There is no signal. It goes by itself later.',
    );
  };

  return (
    <Screen
      title="Not yet sent"
      announce={said}
      top={{ back: { href: '/', label: 'Back' }, right: <Fresh /> }}
      sill={<Sill act={{ label: isTrying ? 'Trying' : 'Try now', onPress: () => void tryNow() }} />}
    >
      <Section>
        <Title>{headline(count)}</Title>
        <p class="note gap2">
          {underline(waiting.length + photos.length - refusedPhotos, sentBack.length + refusedPhotos)}
        </p>
        {said && <p class="note ink gap2">{said}</p>}
      </Section>
      {count > 0 && (
        <div class="gap5">
          <StaveList label="Only on this phone">
            {waiting.map((entry) => (
              <StaveRow key={entry.id} title={titleOf(entry)} heading="h2">
                {nearTime(entry.made_at_ms, now)}. {stateWords(entry, nowMs.value, now.timezone)}
              </StaveRow>
            ))}
            {sentBack.map((entry) => (
              <ProudRow
                key={entry.id}
                tone="red"
                title={titleOf(entry)}
                heading="h2"
                aside={
                  entry.state === 'refused' ? (
                    <Press onPress={() => setMending(entry)}>Mend</Press>
                  ) : undefined
                }
              >
                {stateWords(entry, nowMs.value, now.timezone)} <Allowed entry={entry} />
                <span class="sent-back__acts">
                  {entry.state === 'conflicted' && (
                    <>
                      <button type="button" class="link" onClick={() => void keepMine(entry.id)}>
                        Keep mine
                      </button>
                      <button type="button" class="link" onClick={() => void keepTheirs(entry.id)}>
                        Keep theirs
                      </button>
                    </>
                  )}
                  {entry.state === 'refused' && (
                    <>
                      <button type="button" class="link" onClick={() => void tryAgain(entry.id)}>
                        Send it as it is
                      </button>
                      <button type="button" class="link" onClick={() => setDropping(entry)}>
                        Drop it
                      </button>
                    </>
                  )}
                </span>
              </ProudRow>
            ))}
            {photos.map((photo) => (
              <PhotoRow key={photo.id} photo={photo} when={nearTime(photo.made_at_ms, now)} />
            ))}
          </StaveList>
        </div>
      )}
      <section class="arrived" aria-labelledby="arrived">
        <div class="arrived__line" aria-hidden="true" />
        <Section>
          <h2 id="arrived">
            <Brand tone="tide">Arrived</Brand>
          </h2>
          {arrived.length === 0 ? (
            <p class="note gap3">Nothing from this phone in the last week.</p>
          ) : (
            <ul class="arrived__list">
              {arrived.slice(0, MOST_ARRIVED).map((entry) => (
                <li key={entry.id}>
                  <p>{titleOf(entry)}</p>
                  <p class="note">
                    {nearTime(entry.done_at_ms ?? entry.made_at_ms, now)}
                    {entry.answer?.placement === 'set_aside' && '. Kept; the keeper must place it.'}
                  </p>
                </li>
              ))}
            </ul>
          )}
          {arrived.length > MOST_ARRIVED && (
            <p class="note gap3">and {arrived.length - MOST_ARRIVED} before these, in a week</p>
          )}
          {unsent.length > 0 && (
            <p class="gap5">
              <button type="button" class="link" onClick={() => void saveUnsentFile()}>
                Save the {unsent.length === 1 ? 'one' : inWords(unsent.length)} as a file for the keeper
              </button>
            </p>
          )}
        </Section>
      </section>
      {mending && <MendSheet entry={mending} title={titleOf(mending)} onClose={() => setMending(null)} />}
      {dropping && (
        <Sheet open onClose={() => setDropping(null)} title="Drop it?" closeLabel="Keep it">
          <p>{titleOf(dropping)} is on this phone only. Dropped, it is gone.</p>
          <p class="gap4">
            <Press
              tone="red"
              full
              onPress={() => {
                void discard(dropping.id);
                setDropping(null);
              }}
            >
              Drop it
            </Press>
          </p>
        </Sheet>
      )}
    </Screen>
  );
}

function headline(count: number): string {
  if (count === 0) return 'All has been sent';
  return `${capital(counted(count, 'is', 'are'))} on this phone only`;
}

function underline(waiting: number, sentBack: number): string {
  const { paused } = syncStatus.value;
  if (waiting + sentBack === 0) return 'What you write with no signal waits here until it can go.';
  if (paused === 'signed_out') return 'They go when you have signed in again. Closing the app loses nothing.';
  if (paused === 'other_account') return 'Somebody else is signed in on this phone. Yours wait for you.';
  if (waiting === 0) {
    return sentBack === 1
      ? 'It was sent back with a reason. Mend it, or ask the keeper.'
      : 'They were sent back, each with its reason. Mend them, or ask the keeper.';
  }
  const goes = waiting === 1 ? 'It goes by itself' : 'They go by themselves';
  return `${goes} when there is signal. Closing the app loses nothing.`;
}

function titleOf(entry: OutboxEntry): string {
  const names = { person: nameOf, place: (id: string) => placeBy(id)?.name ?? 'another place' };
  return entryTitle(entry, entry.barrel ? (barrelBy(entry.barrel)?.name ?? null) : null, names);
}

/** A photo that waits, or that the server would not have. */
function PhotoRow({ photo, when }: { photo: QueuedPhoto; when: string }) {
  const title = photoTitle(photo.barrel ? (barrelBy(photo.barrel)?.name ?? null) : null);
  if (photo.refused === null) {
    return (
      <StaveRow title={title} heading="h2">
        {when}. {photoWords(photo)}
      </StaveRow>
    );
  }
  return (
    <ProudRow tone="red" title={title} heading="h2">
      {photoWords(photo)}{' '}
      <span class="sent-back__acts">
        <button type="button" class="link" onClick={() => void discardPhoto(photo.id)}>
          Drop it<span class="sr"> {title}</span>
        </button>
      </span>
    </ProudRow>
  );
}

/** Each wrong field with its allowed range. */
function Allowed({ entry }: { entry: OutboxEntry }) {
  const said = entry.problem?.detail ?? '';
  const fields =
    entry.problem?.fields.filter(
      (one) => (one.allowed || one.detail) && !said.includes(one.allowed || one.detail),
    ) ?? [];
  return (
    <>
      {fields.map((one) => (
        <span key={one.field}>
          {one.detail && one.detail !== entry.problem?.detail ? `${one.detail} ` : ''}
          {one.allowed ? `Allowed: ${one.allowed}. ` : ''}
        </span>
      ))}
    </>
  );
}
