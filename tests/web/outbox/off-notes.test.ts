import { describe, expect, test } from 'vitest';
import type { OutboxEntry } from '~/outbox/entry.ts';
import { withLife } from '~/outbox/life.ts';
import { troubleNote } from '~/pages/words/trouble.ts';
import { barrel, FILL, NEAP, tasting } from '../cast.ts';

const at = (hour: number): string => `2026-03-01T${String(hour).padStart(2, '0')}:00:00.000Z`;

function entry(collection: string, hour: number, body: Record<string, unknown> = {}): OutboxEntry {
  return {
    ...tasting(),
    id: `0190-${collection}-${hour}`,
    collection,
    barrel: NEAP,
    state: 'queued',
    body: { barrel: NEAP, happened_at: at(hour), ...body },
  } as unknown as OutboxEntry;
}
const taste = (hour: number, off_notes: string[], more = {}) =>
  entry('tastings', hour, { fill: FILL, liking: 8, off_notes, ...more });
const settle = (hour: number, trouble: string) =>
  entry('trouble-settlements', hour, { trouble, outcome: 'mended' });
const troublesOf = (...entries: OutboxEntry[]) => withLife(barrel(), entries).troubles;

describe('an alarming taste is trouble on the phone at once', () => {
  test('under its own id, so that it can be settled before it was sent', () => {
    expect(troublesOf(taste(8, ['stale']))).toEqual([]);
    const one = taste(8, ['stale', 'sulphur']);
    expect(troublesOf(one)).toEqual([
      {
        id: one.id,
        kind: 'off_smell',
        since: at(8),
        sign: 'rotten_egg',
        quarantine: true,
        note: '',
        tastes: [one.id],
      },
    ]);
    expect(troublesOf(one, settle(9, one.id))).toEqual([]);
  });

  test('several are one, with their number and the gravest sign; a settlement answers all up to then', () => {
    const [first, second, third] = [taste(8, ['vinegar']), taste(9, ['musty']), taste(11, ['vinegar'])];
    const [shown, ...more] = troublesOf(first!, second!);
    expect(more).toEqual([]);
    expect(shown).toMatchObject({ id: first!.id, sign: 'musty', tastes: [first!.id, second!.id] });
    expect(troubleNote(shown!)).toBe('Two tastes found it.');
    expect(troublesOf(first!, second!, settle(10, first!.id), third!)).toMatchObject([
      { id: third!.id, tastes: [third!.id] },
    ]);
  });

  test('what the service has read is not raised again by the entry itself', () => {
    const one = taste(8, ['vinegar']);
    const [read] = troublesOf(one);
    expect(withLife(barrel({ troubles: [read!] }), [one]).troubles).toEqual([read]);
  });

  test('a correction without the note and a void take it away', () => {
    const one = taste(8, ['vinegar']);
    expect(troublesOf(one, taste(9, [], { replaces: one.id }))).toEqual([]);
    expect(troublesOf(one, entry('voids', 9, { act: one.id }))).toEqual([]);
    const again = taste(9, ['musty'], { replaces: one.id });
    expect(troublesOf(one, again)).toMatchObject([{ id: again.id, sign: 'musty' }]);
  });

  test('a smell written down by hand and settled answers the tastes of the fill with it', () => {
    const smell = entry('troubles', 7, { kind: 'off_smell', sign: 'vinegar', quarantine: true });
    const one = taste(8, ['vinegar']);
    expect(troublesOf(smell, one).map((trouble) => trouble.id)).toEqual([smell.id, one.id]);
    expect(troublesOf(smell, one, settle(9, smell.id))).toEqual([]);
    expect(troublesOf(smell, one, settle(9, one.id)).map((trouble) => trouble.id)).toEqual([smell.id]);
  });

  test('a taste of another fill raises nothing here', () => {
    expect(troublesOf(taste(8, ['vinegar'], { fill: NEAP }))).toEqual([]);
  });
});
