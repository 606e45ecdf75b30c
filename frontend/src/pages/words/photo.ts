/** A photo that has not left this phone, in a sentence. */

import type { Photo } from '~/api/types.ts';
import type { QueuedPhoto } from '~/outbox/photos.ts';
import { type Moment, nearDayOf } from './time.ts';

export const photoTitle = (barrel: string | null): string => (barrel ? `A photo of ${barrel}` : 'A photo');

/** "Photo by Ash, taken back by Alder today" */
export function removedWords(
  photo: Pick<Photo, 'author' | 'removed_by' | 'removed_at'>,
  nameOf: (id: string) => string,
  now: Moment,
): string {
  const who = photo.removed_by ? ` by ${nameOf(photo.removed_by)}` : '';
  const when = photo.removed_at ? ` ${nearDayOf(Date.parse(photo.removed_at), now)}` : '';
  return `Photo by ${nameOf(photo.author)}, taken back${who}${when}`;
}

export function photoWords(photo: Pick<QueuedPhoto, 'refused'>): string {
  return photo.refused === null
    ? 'On this phone. It goes when its entry has arrived.'
    : `Sent back: ${photo.refused}`;
}
