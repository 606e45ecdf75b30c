import './photo-strip.css';
import { useEffect, useMemo, useRef, useState } from 'preact/hooks';
import { session } from '~/api/session.ts';
import { Notice } from '~/components/notice/index.tsx';
import { Press } from '~/components/press/index.tsx';
import { Sheet } from '~/components/sheet/index.tsx';
import { photosByAct, type QueuedPhoto, queuedByAct } from '~/outbox/photos.ts';
import { discardPhoto, recordPhoto } from '~/outbox/record.ts';
import { removedWords } from '../words/photo.ts';
import { moment } from './clock.ts';
import { keep } from './keep.ts';
import { isKeeper, myId, nameOf } from './me.ts';
import { shrunk } from './shrink.ts';

export interface PhotoStripProps {
  /** All versions of the entry: a correction keeps the photos of what it replaces. */
  acts: readonly string[];
  barrel: string | null;
  /** Where a new photo goes; nothing when none may be added. */
  addTo?: string | undefined;
  /** What the entry says, for whoever cannot see the picture. */
  what: string;
}

interface Shown {
  id: string;
  small: string;
  whole: string;
  label: string;
  /** Only on this phone. */
  waits: QueuedPhoto | null;
  mayTakeBack: boolean;
}

function addressOf(id: string, size?: 'small'): string {
  const club = session.value.club?.id ?? '';
  return `/api/v1/clubs/${club}/photos/${id}${size ? `?size=${size}` : ''}`;
}

/** Addresses for files that are only here, given back when they are no longer shown. */
function useFiles(queued: readonly QueuedPhoto[]): Map<string, string> {
  const key = queued.map((photo) => photo.id).join(' ');
  // The ids stand for the files, which never change.
  const urls = useMemo(
    () =>
      new Map(
        queued.map((photo) => [
          photo.id,
          URL.createObjectURL(new Blob([photo.file], { type: 'image/jpeg' })),
        ]),
      ),
    [key],
  );
  useEffect(
    () => () => {
      for (const url of urls.values()) URL.revokeObjectURL(url);
    },
    [urls],
  );
  return urls;
}

/** The photos of an entry, those of the server and those still on this phone, and a way to add one. */
export function PhotoStrip({ acts, barrel, addTo, what }: PhotoStripProps) {
  const [open, setOpen] = useState<string | null>(null);
  const [problem, setProblem] = useState('');
  const [isBusy, setBusy] = useState(false);
  const input = useRef<HTMLInputElement>(null);
  const queued = acts.flatMap((act) => queuedByAct.value.get(act) ?? []);
  const files = useFiles(queued);
  const known = acts.flatMap((act) => photosByAct.value.get(act) ?? []);
  const removed = known.filter((photo) => photo.removed_at !== null);
  const shown: Shown[] = [
    ...known
      .filter((photo) => photo.removed_at === null)
      .map((photo) => ({
        id: photo.id,
        small: addressOf(photo.id, 'small'),
        whole: addressOf(photo.id),
        label: `Photo by ${nameOf(photo.author)}: ${what}`,
        waits: null,
        mayTakeBack: isKeeper() || photo.author === myId(),
      })),
    ...queued.map((photo) => ({
      id: photo.id,
      small: files.get(photo.id) ?? '',
      whole: files.get(photo.id) ?? '',
      label: `Photo, on this phone: ${what}`,
      waits: photo,
      mayTakeBack: false,
    })),
  ];
  const opened = shown.find((photo) => photo.id === open);

  const add = async (file: File | undefined): Promise<void> => {
    if (!file || !addTo || isBusy) return;
    setBusy(true);
    setProblem('');
    try {
      const small = await shrunk(file);
      if (small) await recordPhoto(addTo, barrel, small);
      else setProblem('This phone cannot read that file as a photo.');
    } catch (error) {
      setProblem(error instanceof Error ? error.message : 'The photo is not kept.');
    }
    setBusy(false);
    if (input.current) input.current.value = '';
  };

  if (shown.length === 0 && removed.length === 0 && !addTo) return null;
  return (
    <div>
      {shown.length > 0 && (
        <div class="photo-strip">
          {shown.map((photo) => (
            <button key={photo.id} type="button" class="photo-strip__open" onClick={() => setOpen(photo.id)}>
              <img src={photo.small} alt={photo.label} loading="lazy" />
            </button>
          ))}
        </div>
      )}
      {removed.map((photo) => (
        <p key={photo.id} class="note gap1">
          <s>{removedWords(photo, nameOf, moment())}</s>
        </p>
      ))}
      {queued.length > 0 && (
        <p class="note gap1">
          {queued.some((photo) => photo.refused)
            ? `Sent back: ${queued.find((photo) => photo.refused)?.refused}`
            : 'On this phone; it goes after its entry.'}
        </p>
      )}
      {problem && <Notice tone="red">{problem}</Notice>}
      {addTo && (
        <div class="gap3">
          <input
            ref={input}
            class="photo-strip__file"
            type="file"
            accept="image/*"
            tabIndex={-1}
            aria-label="A photo"
            onChange={(event) => void add(event.currentTarget.files?.[0])}
          />
          <Press busy={isBusy ? 'Making it small' : undefined} onPress={() => input.current?.click()}>
            Add a photo
          </Press>
        </div>
      )}
      {opened && (
        <Sheet open onClose={() => setOpen(null)} title="Photo">
          <div class="stack">
            <img class="photo-strip__whole" src={opened.whole} alt={opened.label} />
            <p class="note">{opened.label}</p>
            {opened.mayTakeBack && (
              <TakeBack
                onSure={async () => {
                  const kept = await keep('photo-removals', { photo: opened.id });
                  if (kept.ok) setOpen(null);
                  else setProblem(kept.words);
                }}
              />
            )}
            {opened.waits && (
              <Press
                tone="red"
                onPress={() => {
                  setOpen(null);
                  void discardPhoto(opened.id);
                }}
              >
                Throw it away
              </Press>
            )}
          </div>
        </Sheet>
      )}
    </div>
  );
}

/** A picture that is deleted does not come back: it is asked once more. */
function TakeBack({ onSure }: { onSure: () => Promise<void> }) {
  const [isAsked, setAsked] = useState(false);
  if (!isAsked) return <Press onPress={() => setAsked(true)}>Take it back</Press>;
  return (
    <>
      <p class="note ink">The picture is deleted for good. The log keeps that there was one, struck.</p>
      <Press tone="red" onPress={() => void onSure()}>
        Delete the picture
      </Press>
    </>
  );
}
