/** A photo that has not left this phone, in a sentence. */

import type { QueuedPhoto } from '~/outbox/photos.ts';

export const photoTitle = (barrel: string | null): string => (barrel ? `A photo of ${barrel}` : 'A photo');

export function photoWords(photo: Pick<QueuedPhoto, 'refused'>): string {
  return photo.refused === null
    ? 'On this phone. It goes when its entry has arrived.'
    : `Sent back: ${photo.refused}`;
}
