import { describe, expect, test } from 'vitest';
import { didSentence, savedSentence } from '~/pages/words/kept.ts';

describe('once an entry is kept', () => {
  test.each([
    ['Tight', true, 'Tight: saved, on its way.'],
    ['Tight', false, 'Tight: saved, kept on this phone.'],
    ['water changed', false, 'Water changed: saved, kept on this phone.'],
    ['One joint wiped, to be looked at.', true, 'One joint wiped, to be looked at: saved, on its way.'],
    [' drained ', true, 'Drained: saved, on its way.'],
    ['', false, 'Saved. Kept on this phone.'],
  ])('%j with signal %s reads as one sentence', (what, hasSignal, sentence) =>
    expect(didSentence(what, hasSignal)).toBe(sentence),
  );

  test('nothing ever begins small after a stop, or ends without one', () => {
    for (const what of ['tight', 'Held wet.', 'all well', 'Wood worked on', '5 L poured.']) {
      for (const hasSignal of [true, false]) {
        for (const words of [didSentence(what, hasSignal), savedSentence(hasSignal)]) {
          expect(words).not.toMatch(/[.!?] [a-z]/);
          expect(words).toMatch(/^[A-Z0-9].*[^.]\.$/);
        }
      }
    }
  });
});
