import { expect, test } from 'vitest';
import { emailWrong, nameWrong } from '~/pages/words/members.ts';

const sedge = { name: 'Sedge', email: 'sedge@club.example', left_at: null };
const heath = { name: 'Heath', email: null, left_at: '2026-01-01T00:00:00Z' };

test('two people of one name cannot be told apart in the log; somebody who left does not count', () => {
  expect(nameWrong(' sedge ', [sedge]).name).toContain('that name');
  expect(nameWrong('Heath', [sedge, heath])).toEqual({});
  expect(nameWrong('  ', []).name).toBe('Say their name.');
});

test('an address may be left out, and stands for one person only', () => {
  expect(emailWrong('', [sedge])).toEqual({});
  expect(emailWrong('fen', [sedge]).email).toBe('That is no e-mail address.');
  expect(emailWrong('SEDGE@club.example', [sedge, heath]).email).toBe('Sedge has this address.');
});
