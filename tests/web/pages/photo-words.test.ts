import { expect, test } from 'vitest';
import { photoTitle, photoWords, removedWords } from '~/pages/words/photo.ts';

test('a photo says whose it is, that it waits, or why it came back', () => {
  expect(photoTitle('Neap')).toBe('A photo of Neap');
  expect(photoTitle(null)).toBe('A photo');
  expect(photoWords({ refused: null })).toMatch(/^On this phone\./);
  expect(photoWords({ refused: 'That is no photo.' })).toBe('Sent back: That is no photo.');
});

test('one that was taken back says whose it was, by whom and when', () => {
  const now = { now_ms: Date.parse('2026-03-01T12:00:00Z'), timezone: 'Europe/London' };
  const photo = { author: 'Ash', removed_by: 'Alder', removed_at: '2026-03-01T09:00:00Z' };
  expect(removedWords(photo, (id) => id, now)).toBe('Photo by Ash, taken back by Alder today');
});
