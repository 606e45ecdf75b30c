import { beforeAll, describe, expect, test } from 'vitest';
import { makeEntry, type OutboxEntry } from '~/outbox/entry.ts';
import { lifeFetched, overlaidBarrel, overlaidLog } from '~/outbox/overlay.ts';
import { barrel, CLUB, EBB, FILL, logEntry, MEMBER, NEAP, NOON_MS, tasting } from '../cast.ts';

function placed(entry: Omit<OutboxEntry, 'order'>, more: Partial<OutboxEntry> = {}): OutboxEntry {
  return { ...entry, order: 1, ...more };
}

function act(collection: string, body: Record<string, unknown>): OutboxEntry {
  const at = '2026-03-01T12:00:00Z';
  return placed(
    makeEntry({
      club: CLUB,
      author: MEMBER,
      collection,
      now_ms: NOON_MS,
      body: { barrel: NEAP, happened_at: at, entered_at: at, ...body },
    }),
  );
}

beforeAll(lifeFetched);

describe('a barrel with entries of this phone', () => {
  test('it counts the samples of tastes that are not sent', () => {
    const entries = [placed(tasting()), placed(tasting(NEAP, { sample_ml: 10 })), placed(tasting(EBB))];
    expect(overlaidBarrel(barrel(), entries).contents?.sample_used_ml).toBe(55);
  });

  test('it counts a sent taste until the feed has brought it, and a refused one not at all', () => {
    const sent = placed(tasting(), { state: 'done' });
    expect(overlaidBarrel(barrel(), [sent]).contents?.sample_used_ml).toBe(45);
    expect(overlaidBarrel(barrel(), [{ ...sent, is_read_back: true }]).contents?.sample_used_ml).toBe(40);
    expect(overlaidBarrel(barrel(), [{ ...sent, state: 'refused' }]).contents?.sample_used_ml).toBe(40);
  });

  test('it leaves out tastes of an earlier fill, and corrections', () => {
    const entries = [placed(tasting(NEAP, { fill: EBB })), placed(tasting(NEAP, { replaces: FILL }))];
    expect(overlaidBarrel(barrel(), entries).contents?.sample_used_ml).toBe(40);
  });

  test('it shows care that this phone has done', () => {
    const shown = overlaidBarrel(barrel(), [act('tendings', { tasks: ['roll', 'leak_check'] })]);
    expect(shown.care[0]).toMatchObject({ task: 'roll', here_at: '2026-03-01T12:00:00Z' });
    const older = overlaidBarrel(barrel(), [
      act('tendings', { tasks: ['roll'], happened_at: '2026-02-01T12:00:00Z' }),
    ]);
    expect(older.care[0]?.here_at).toBeNull();
  });
});

describe('a log with entries of this phone', () => {
  test('it puts them in their place in time and says where they are', () => {
    const entry = placed(tasting());
    const lines = overlaidLog([logEntry()], [entry], FILL);
    expect(lines.map((line) => [line.id, line.here])).toEqual([
      [entry.id, 'on_this_phone'],
      [FILL, 'sent'],
    ]);
    expect(lines[0]).toMatchObject({ received_at: null, stay: FILL, author: MEMBER });
  });

  test('it shows an entry once when the store has it too', () => {
    const entry = placed(tasting(), { state: 'done' });
    const lines = overlaidLog([logEntry({ id: entry.id })], [entry], FILL);
    expect(lines.map((line) => line.here)).toEqual(['sent']);
  });

  test('it shows what was sent back, but not what was mended', () => {
    const back = placed(tasting(), { state: 'refused' });
    expect(overlaidLog([], [back], null).map((line) => line.here)).toEqual(['sent_back']);
    expect(overlaidLog([], [{ ...back, mended_by: EBB }], null)).toEqual([]);
  });

  test('a correction and a void hold on this phone at once', () => {
    const correction = act('fills', { replaces: FILL });
    const lines = overlaidLog([logEntry()], [correction], FILL);
    expect(lines.find((line) => line.id === FILL)?.is_head).toBe(false);
    const voided = overlaidLog([logEntry()], [act('voids', { act: FILL, reason: 'Twice.' })], FILL);
    expect(voided.find((line) => line.id === FILL)?.is_void).toBe(true);
  });

  test('a refused correction leaves the line as it was', () => {
    const correction = { ...act('fills', { replaces: FILL }), state: 'refused' as const };
    const lines = overlaidLog([logEntry()], [correction], FILL);
    expect(lines.find((line) => line.id === FILL)?.is_head).toBe(true);
  });

  test('it keeps reservations and registers out of the log', () => {
    expect(overlaidLog([], [act('reservations', {}), act('barrels', {})], null)).toEqual([]);
  });
});
