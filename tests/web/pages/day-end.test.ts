import { expect, test } from 'vitest';
import { dayEnd, dayStart } from '~/pages/words/time.ts';
import { dayIn } from '~/science/dates.ts';

// Offsets of a whole hour, of a half and of a quarter; with and without a summer time, one that changes at midnight.
const ZONES = ['Europe/Madrid', 'Asia/Kolkata', 'Asia/Kathmandu', 'Australia/Lord_Howe', 'America/Santiago'];

test.each(ZONES)('a day ends where the next begins, all the year round: %s', (timezone) => {
  const plain = new Intl.DateTimeFormat('sv-SE', { timeZone: timezone });
  for (let hour = 0; hour < 366 * 24; hour += 7) {
    const now_ms = Date.UTC(2026, 0, 1, hour, 11);
    const end_ms = dayEnd({ now_ms, timezone });
    expect(dayIn(timezone, now_ms)).toBe(plain.format(now_ms));
    expect(plain.format(end_ms - 1)).toBe(plain.format(now_ms));
    expect(plain.format(end_ms)).not.toBe(plain.format(now_ms));
    expect(dayStart({ now_ms: end_ms, timezone })).toBe(end_ms);
  }
});
