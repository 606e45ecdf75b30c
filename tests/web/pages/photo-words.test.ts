import { expect, test } from 'vitest';
import { photoTitle, photoWords } from '~/pages/words/photo.ts';

test('a photo says whose it is, that it waits, or why it came back', () => {
  expect(photoTitle('Neap')).toBe('A photo of Neap');
  expect(photoTitle(null)).toBe('A photo');
  expect(photoWords({ refused: null })).toMatch(/^On this phone\./);
  expect(photoWords({ refused: 'That is no photo.' })).toBe('Sent back: That is no photo.');
});
