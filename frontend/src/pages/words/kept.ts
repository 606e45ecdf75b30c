/** What is said once an entry is kept: whole sentences, that begin large and end with a stop. */

import { capital } from './numbers.ts';

/** Where a kept entry is now: "Saved. Kept on this phone." */
export function savedSentence(hasSignal: boolean): string {
  return hasSignal ? 'Saved. On its way.' : 'Saved. Kept on this phone.';
}

/** The same behind what was done: "Tight: saved, on its way." */
export function didSentence(what: string, hasSignal: boolean): string {
  const done = capital(what.trim().replace(/\.$/, ''));
  const where = hasSignal ? 'on its way' : 'kept on this phone';
  return done ? `${done}: saved, ${where}.` : savedSentence(hasSignal);
}
