import { cleanup, fireEvent, screen, waitFor } from '@testing-library/preact';
import { afterEach, beforeEach, describe, expect, test } from 'vitest';
import type { Barrel } from '~/api/types.ts';
import { isAlreadySo } from '~/outbox/conflict.ts';
import { makeEdit, makeEntry, type OutboxEntry } from '~/outbox/entry.ts';
import { withLife } from '~/outbox/life.ts';
import { newBarrel } from '~/outbox/new-barrel.ts';
import { queueAll } from '~/outbox/queue.ts';
import { insideShape } from '~/pages/parts/inside-shape.ts';
import RegisterPage from '~/pages/register/index.tsx';
import { capacityWords } from '~/pages/words/barrel.ts';
import {
  assumedInDraft,
  capacityByTape,
  changesOf,
  dipWords,
  draftOf,
  isEditWaiting,
  measuresWrong,
  NO_MEASURES,
  registerWrong,
  shapeOf,
  weighedFrom,
} from '~/pages/words/register.ts';
import { barrelShape } from '~/science/geometry.ts';
import { centimetres } from '~/science/units.ts';
import { database } from '~/store/db.ts';
import { keeperWith, leave, openScreen, settle } from '../at-the-barrel.tsx';
import { barrel, CLUB, EBB, MEMBER, NEAP, NOON_MS } from '../cast.ts';

const MOMENT = { now_ms: NOON_MS, timezone: 'UTC' };

const measured = (more: Partial<Barrel['register']> = {}): Barrel =>
  barrel({
    register: {
      ...barrel().register,
      bilge_diameter_cm: 20,
      head_diameter_cm: 17,
      length_cm: 24,
      ...more,
    },
  });

function edit(changes: Record<string, unknown>, more: Partial<OutboxEntry> = {}): OutboxEntry {
  const made = makeEdit({
    club: CLUB,
    author: MEMBER,
    collection: 'barrels',
    target: NEAP,
    base_version: 1,
    body: changes,
    now_ms: NOON_MS,
  });
  return { ...made, order: 1, ...more };
}

describe('the form of a register', () => {
  test('starts from what is registered, and says nothing where nothing was changed', () => {
    const one = measured({ stave_mm: 14, note: 'stout' });
    expect(draftOf(one)).toMatchObject({ taped: 'inside', bilge_cm: '20', stave_mm: '14', note: 'stout' });
    expect(changesOf(draftOf(one), one)).toEqual({});
  });

  test('sends only what differs, and null for a measure that is taken back', () => {
    const one = measured({ stave_mm: 14 });
    const draft = { ...draftOf(one), bung_tight: true, stave_mm: ' ', allergens: ['nuts', 'milk'] };
    expect(changesOf(draft, one)).toEqual({
      bung_tight: true,
      stave_mm: null,
      adopted_allergens: ['milk', 'nuts'],
    });
    expect(changesOf({ ...draftOf(one), taped: 'none' }, one)).toEqual({
      bilge_diameter_cm: null,
      head_diameter_cm: null,
      length_cm: null,
    });
  });

  test('measures outside replace those inside, which would count before them', () => {
    const one = measured();
    const draft = {
      ...draftOf(one),
      taped: 'outside' as const,
      bilge_cm: '23',
      head_cm: '20',
      length_cm: '30',
      stave_mm: '14',
      head_mm: '14',
      chime_mm: '12',
    };
    expect(changesOf(draft, one)).toMatchObject({
      bilge_diameter_cm: null,
      outside_bilge_diameter_cm: 23,
      outside_length_cm: 30,
      chime_mm: 12,
    });
  });

  test.each([
    [{ bilge_cm: '0' }, 'bilge_cm'],
    [{ bilge_cm: '151' }, 'bilge_cm'],
    [{ head_cm: '21' }, 'head_cm'],
    [{ head_cm: 'wide' }, 'head_cm'],
    [{ length_cm: '201' }, 'length_cm'],
    [{ length_cm: '' }, 'length_cm'],
    [{ stave_mm: '4.9' }, 'stave_mm'],
    [{ head_mm: '61' }, 'head_mm'],
    [{ bilge_cm: '60', length_cm: '90' }, 'bilge_cm'],
    [{ taped: 'outside' as const, head_mm: '14', chime_mm: '12' }, 'stave_mm'],
    [{ taped: 'outside' as const, stave_mm: '14', head_mm: '14', chime_mm: '201' }, 'chime_mm'],
  ])('refuses %j at its field', (typed, field) => {
    const draft = {
      ...NO_MEASURES,
      taped: 'inside' as const,
      bilge_cm: '20',
      head_cm: '17',
      length_cm: '24',
      ...typed,
    };
    expect(Object.keys(measuresWrong(draft, { nominal_l: 5, weighed_l: null }))).toEqual([field]);
  });

  test('a name stands once in a club', () => {
    const one = measured();
    expect(registerWrong({ ...draftOf(one), name: ' ebb' }, one, ['Ebb'])).toEqual({
      name: 'Another barrel has that name.',
    });
    expect(registerWrong({ ...draftOf(one), name: ' ' }, one, [])).toEqual({ name: 'Give it a name.' });
  });

  // Half of a lying barrel stands at half its height: 100 of 200 mm, and 110 of 220 mm.
  test('says in words how its dip marks change', () => {
    const one = measured();
    const after = shapeOf({ ...draftOf(one), bilge_cm: '22' }, 5, null)!;
    expect(dipWords(insideShape(one), after)[1]).toMatch(
      /^Half full \(.*\) wets 110\u00a0mm of the rod; before, 100\u00a0mm\.$/,
    );
    expect(dipWords(insideShape(one), insideShape(one))[1]).toContain('as before');
  });

  // A straight one of 24 and 30 cm outside, 15 mm staves: 21 cm wide inside, so a millimetre at both heads is
  // pi/4 21^2 0.2 cm3 = 0.069 L. Closed form.
  test('assumes usual heads where nobody measured them, and says what hangs on it', () => {
    const draft = {
      ...NO_MEASURES,
      taped: 'outside' as const,
      bilge_cm: '24',
      head_cm: '24',
      length_cm: '30',
      stave_mm: '15',
    };
    expect(measuresWrong(draft, { nominal_l: 9, weighed_l: null })).toEqual({});
    const shape = shapeOf(draft, 9, null)!;
    expect(shape.length_cm).toBeCloseTo(30 - 2 * (1.4 + 1.2), 9);
    expect(assumedInDraft(draft, shape)).toMatch(
      /^Assumed: heads 14\u00a0mm thick and set 12\u00a0mm deep, as in most small barrels\. Each millimetre, at both heads, is about 0\.07\u00a0L/,
    );
    const flush = { ...draft, chime_mm: '0' };
    expect(shapeOf(flush, 9, null)!.length_cm).toBeCloseTo(30 - 2 * 1.4, 9);
    expect(assumedInDraft(flush, shape)).toMatch(/^Assumed: heads 14\u00a0mm thick, as/);
    expect(assumedInDraft({ ...flush, head_mm: '18' }, shape)).toBeNull();
    expect(assumedInDraft({ ...draft, taped: 'inside' }, shape)).toBeNull();
    expect(measuresWrong({ ...draft, stave_mm: '' }, { nominal_l: 9, weighed_l: null })).toHaveProperty(
      'stave_mm',
    );
  });

  // Parabolic R=40, r=30, L=100 cm holds 425.16 L (intmath.com, Applications of Integration: 425.2).
  test('says what the measures make, beside what was weighed', () => {
    const draft = {
      ...NO_MEASURES,
      taped: 'inside' as const,
      bilge_cm: '80',
      head_cm: '60',
      length_cm: '100',
    };
    const shape = shapeOf(draft, 350, null)!;
    expect(capacityByTape(draft, shape, null)).toBe('By these measures it holds about 425.2\u00a0L.');
    expect(capacityByTape(draft, shape, 300)).toContain('measure again');
    expect(capacityByTape(draft, shape, 420)).not.toContain('measure again');
  });

  test('says where the weighed capacity comes from', () => {
    const lines = [
      { happened_at: '2026-02-27T12:00:00Z', is_void: true, is_head: true, body: { weighed_capacity_l: 9 } },
      {
        happened_at: '2026-02-26T12:00:00Z',
        is_void: false,
        is_head: true,
        body: { weighed_capacity_l: 4.9 },
      },
    ];
    expect(weighedFrom(measured({ weighed_capacity_l: 4.9 }), lines, MOMENT)).toMatch(
      /^4\.9\u00a0L by two weights, .*Thursday/,
    );
    expect(weighedFrom(measured(), lines, MOMENT)).toContain('Not weighed yet');
  });

  test('waits for its last edit to come back', () => {
    const made = edit({ bung_tight: true }, { state: 'done' });
    expect(isEditWaiting({ id: NEAP, version: 1 }, [made])).toBe(true);
    expect(isEditWaiting({ id: NEAP, version: 2 }, [made])).toBe(false);
    expect(isEditWaiting({ id: EBB, version: 1 }, [made])).toBe(false);
  });
});

describe('an edit that is only on this phone', () => {
  test('shows at once: its bung, its marks, its allergens', () => {
    const one = { ...measured(), allergens: ['milk' as const] };
    const shown = withLife(one, [
      edit({ bung_tight: true, bilge_diameter_cm: 22, name: 'Ebb', adopted_allergens: ['nuts'] }),
    ]);
    expect(shown).toMatchObject({ name: 'Ebb', bung_tight: true, allergens: ['milk', 'nuts'] });
    expect(shown.shape.bilge_diameter_cm).toBe(22);
    expect(shown.capacity_l).toBeGreaterThan(one.capacity_l);
    expect(shown.register.bilge_diameter_cm).toBe(22);
    expect(withLife({ ...one, version: 2 }, [edit({ name: 'Ebb' })]).name).toBe('Neap');
  });

  test('one measured outside has at once what the server will assume, and says so', () => {
    const body = {
      bilge_diameter_cm: null,
      head_diameter_cm: null,
      length_cm: null,
      outside_bilge_diameter_cm: 23,
      outside_head_diameter_cm: 20,
      outside_length_cm: 25,
      stave_mm: 14,
      chime_mm: 10,
    };
    const shown = withLife(measured(), [edit(body)]);
    expect(shown.capacity_basis).toBe('taped');
    expect(shown.shape.assumed_mm).toEqual({ head_mm: 14 });
    expect(shown.shape.length_cm).toBeCloseTo(25 - 2 * (1.4 + 1.0), 9);
    expect(capacityWords(shown)).toMatch(/, taped, heads 14\u00a0mm thick, assumed$/);
    expect(capacityWords({ ...shown, capacity_basis: 'weighed' })).toMatch(/, weighed$/);
  });

  test('a barrel registered here has the shape of its measures', () => {
    const body = { name: 'Fetch', nominal_l: 5, bilge_diameter_cm: 20, head_diameter_cm: 17, length_cm: 20 };
    const made = makeEntry({ club: CLUB, author: MEMBER, collection: 'barrels', body, now_ms: NOON_MS });
    const row = newBarrel({ ...made, order: 1 })!;
    const shape = barrelShape({
      bilge_diameter_cm: centimetres(20),
      head_diameter_cm: centimetres(17),
      length_cm: centimetres(20),
    });
    expect(row.capacity_l).toBeCloseTo(shape.capacity_l, 9);
    expect(row.capacity_basis).toBe('taped');
  });

  test('that got through unheard is found again in the register', () => {
    const told = { ...measured({ stave_mm: 14 }), bung_tight: true } as unknown as Record<string, unknown>;
    expect(isAlreadySo(edit({ bung_tight: true, stave_mm: 14 }), told)).toBe(true);
    expect(isAlreadySo(edit({ bung_tight: true, stave_mm: 15 }), told)).toBe(false);
  });
});

describe('the screen', () => {
  beforeEach(async () => {
    await keeperWith(measured());
  });
  afterEach(() => {
    cleanup();
    leave();
  });

  test('keeps one edit against the version that was seen, and then waits for it', async () => {
    openScreen('/barrels/:id/register', `/barrels/${NEAP}/register`, RegisterPage);
    const tick = await screen.findByLabelText(/Rests tight on any side/);
    screen.getByText(/a filled barrel rests bung up/);
    fireEvent.click(tick);
    fireEvent.input(screen.getByLabelText('Across the middle'), { target: { value: '16' } });
    fireEvent.click(screen.getByRole('button', { name: 'Save' }));
    expect((await screen.findAllByText(/never wider than the middle/)).length).toBeGreaterThan(0);
    fireEvent.input(screen.getByLabelText('Across the middle'), { target: { value: '21' } });
    await waitFor(() => screen.getByText(/wets 105.mm of the rod; before, 100.mm/));
    await settle();
    fireEvent.click(screen.getByRole('button', { name: 'Save' }));
    await screen.findByText(/The last change is still on its way/);
    const [entry] = await queueAll(database.value!);
    expect(entry).toMatchObject({
      method: 'PATCH',
      target: NEAP,
      base_version: 1,
      body: { bung_tight: true, bilge_diameter_cm: 21 },
    });
  });
});
