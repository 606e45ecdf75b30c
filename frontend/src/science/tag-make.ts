/** A new tag code, made on the phone so that it can be written on the barrel at once. */

import { checkCharacter } from './tag.ts';

// Without 0 O 1 I: a code is read off a damp tag by lamplight.
const ALPHABET = '23456789ABCDEFGHJKLMNPQRSTUVWXYZ';
const LENGTH = 5;

/** Five characters of good chance and their check character, none of `taken`. */
export function newTagCode(taken: ReadonlySet<string>): string {
  for (;;) {
    const bytes = crypto.getRandomValues(new Uint8Array(LENGTH));
    // 256 is a whole multiple of 32, so every character is equally likely.
    const stem = [...bytes].map((byte) => ALPHABET[byte % ALPHABET.length]).join('');
    const code = stem + checkCharacter(stem);
    if (!taken.has(code)) return code;
  }
}
