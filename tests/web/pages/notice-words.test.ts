import { describe, expect, test } from 'vitest';
import type { Notice } from '~/api/types.ts';
import { noticesToShow, noticeWords } from '~/pages/words/notices.ts';
import { NEAP, NOON_MS } from '../cast.ts';

const now = { now_ms: NOON_MS, timezone: 'Europe/London' };
const notice = (id: string, more: Partial<Notice> = {}): Notice => ({
  id,
  barrel: NEAP,
  entry: `entry of ${id}`,
  trouble: 'leak',
  kind: 'leak',
  outcome: null,
  volume_l: null,
  cause: '',
  why: 'sharer',
  at: '2026-02-27T12:00:00Z',
  ...more,
});
const ended = (outcome: Notice['outcome'], more: Partial<Notice> = {}): Notice =>
  notice('end', { outcome, kind: null, ...more });

describe('word of trouble', () => {
  test('says which barrel, why it concerns the reader, what, and since when', () =>
    expect(noticeWords(notice('one'), 'Ebb', now)).toEqual({
      text: 'Ebb, your fill: it leaks. Since last Friday.',
      isRed: true,
    }));

  test.each([
    ['sharer', 'your fill'],
    ['owner', 'your barrel'],
    ['reserver', 'the barrel you have reserved'],
  ] as const)('to a %s it is about %s', (why, whose) =>
    expect(noticeWords(notice('one', { why }), 'Ebb', now).text).toContain(`Ebb, ${whose}: `),
  );

  test.each([
    ['mended', null, 'It is mended.', false],
    ['sound', null, 'Nothing was wrong.', false],
    ['retired', null, 'It is retired, and the reservation has lapsed.', false],
    ['restored', null, 'It is not retired after all: the reservation stands again.', false],
    [
      'stays_ended',
      null,
      'It is not retired after all, but the days reserved are over or taken. Ask anew.',
      false,
    ],
    ['found', null, 'It was found again.', false],
    ['rescued', 3.2, 'It was rescued: 3.2\u00a0L into a vessel.', false],
    ['rescued', null, 'It was rescued into a vessel.', false],
    ['part_lost', null, 'Part of it was lost. The rest goes on.', true],
    ['part_lost', 0.4, '0.4\u00a0L of it was lost. The rest goes on.', true],
    ['all_lost', null, 'All of it was lost.', true],
  ] as const)('%s ends it in words', (outcome, volume_l, words, isRed) =>
    expect(noticeWords(ended(outcome, { volume_l }), 'Ebb', now)).toEqual({
      text: `Ebb, your fill, last Friday: ${words}`,
      isRed,
    }),
  );

  test('the cause stands behind it as a sentence of its own', () =>
    expect(noticeWords(ended('all_lost', { cause: 'The head split' }), 'Ebb', now).text).toMatch(
      /All of it was lost\. The head split\.$/,
    ));
});

describe('which are shown', () => {
  test('of a settled trouble only how it ended; none that was read; three at most', () => {
    const begun = notice('begun');
    const end = ended('mended');
    expect(noticesToShow([end, begun], new Set())).toEqual([end]);
    expect(noticesToShow([end, begun], new Set(['end']))).toEqual([]);
    const many = Array.from({ length: 5 }, (_, i) => notice(`n${i}`, { trouble: `t${i}` }));
    expect(noticesToShow(many, new Set(['n0'])).map((one) => one.id)).toEqual(['n1', 'n2', 'n3']);
  });
});
