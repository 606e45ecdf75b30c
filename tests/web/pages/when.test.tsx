import { cleanup, fireEvent, screen, waitFor } from '@testing-library/preact';
import { afterEach, beforeEach, describe, expect, test, vi } from 'vitest';
import type { Barrel } from '~/api/types.ts';
import { queueAll } from '~/outbox/queue.ts';
import { TendSheet } from '~/pages/barrel/tend-sheet.tsx';
import { Begin } from '~/pages/curing/begin.tsx';
import * as curing from '~/pages/curing/sheets.tsx';
import * as verdict from '~/pages/curing/verdict-sheet.tsx';
import DecantPage from '~/pages/decant/index.tsx';
import { keepAll } from '~/pages/fill/keep-all.ts';
import * as hold from '~/pages/hold/sheets.tsx';
import { SheetForm } from '~/pages/parts/sheet-form.tsx';
import { useWhen } from '~/pages/parts/when.tsx';
import ReadingsPage from '~/pages/readings/index.tsx';
import TastePage from '~/pages/taste/index.tsx';
import { DoneEarlierSheet } from '~/pages/walk/sheets.tsx';
import { SIGNS } from '~/pages/words/hold.ts';
import { isWalked, thereAt, type WalkRow } from '~/pages/words/walk.ts';
import { begunMs, nearby, typedMs, wallTime, whenSaid, whenWrong } from '~/pages/words/when.ts';
import { database } from '~/store/db.ts';
import { keeperWith, leave, openScreen, settle } from '../at-the-barrel.tsx';
import { barrel, CLUB, EBB, NEAP, NOON_MS } from '../cast.ts';

const LONDON = { now_ms: Date.parse('2026-07-01T12:00:00Z'), timezone: 'Europe/London' };

describe('a typed time', () => {
  test('is the club’s wall’s, whatever the phone’s zone', () => {
    expect(typedMs('2026-07-01T11:30', LONDON)).toBe(Date.parse('2026-07-01T10:30:00Z'));
    expect(wallTime(Date.parse('2026-07-01T10:30:00Z'), 'Europe/London')).toBe('2026-07-01T11:30');
    expect(typedMs('yesterday', LONDON)).toBeNull();
  });

  test('is neither to come nor before what it happened in', () => {
    const from = Date.parse('2026-06-30T18:00:40Z');
    expect(whenWrong('', from, LONDON)).toBe('Say the day and the time.');
    expect(whenWrong('2026-07-01T13:01', from, LONDON)).toBe('That is still to come.');
    expect(whenWrong('2026-06-30T18:59', from, LONDON)).toMatch(/before yesterday 19:00, when this began/);
    expect(whenWrong('2026-06-30T19:00', from, LONDON)).toBeUndefined();
    // Typed to the minute, it is not before the second in which the stay began.
    expect(Date.parse(whenSaid('2026-06-30T19:00', from, LONDON).happened_at!)).toBe(from);
  });

  test('says that it was typed; now says nothing', () => {
    expect(whenSaid(null, null, LONDON)).toEqual({});
    expect(whenSaid('2026-06-30T19:00', null, LONDON)).toMatchObject({ time_typed: true });
  });

  test('reaches back to the stay’s opening, or to when the barrel was emptied', () => {
    expect(begunMs(barrel())).toBe(Date.parse('2026-02-01T12:00:00Z'));
    const empty = barrel({
      contents: null,
      timeline: [{ kind: 'fill', from: '2026-01-01T12:00:00Z', to: '2026-01-20T12:00:00Z', name: null }],
    });
    expect(begunMs(empty)).toBe(Date.parse('2026-01-20T12:00:00Z'));
    expect(begunMs({ contents: null, timeline: [] })).toBeNull();
  });

  test('keeps a rinse before its fill and the roll after it', () => {
    const at = whenSaid('2026-06-30T19:00', null, LONDON);
    const times = [-2, -1, 0].map((seconds) => Date.parse(nearby(at, seconds, 0).happened_at!));
    expect(times).toEqual([0, 1, 2].map((s) => Date.parse('2026-06-30T18:00:00Z') + 1000 * s));
    expect(nearby(at, 0, 0).time_typed).toBe(true);
    expect(nearby({}, -1, NOON_MS).time_typed).toBeUndefined();
    expect(Date.parse(nearby({}, -1, NOON_MS).happened_at!)).toBe(NOON_MS - 1000);
  });
});

const water = (kind: 'curing' | 'hold'): Barrel =>
  barrel({
    state: kind === 'hold' ? 'held' : 'curing',
    contents: { ...barrel().contents!, kind, name: null },
    water: { changed_at: '2026-02-01T12:00:00Z', half_volume_l: 2.5, half_level: 0.5, top_up_at: null },
  });

const shown = (row: Barrel) => ({ ...row, care: [] });
const none = () => undefined;
const judged = { observed: { is_full: true, joints: [] } } as unknown as Parameters<
  typeof curing.TopUpSheet
>[0]['judged'];

const TYPED = '2026-02-10T10:15';

async function late(presses: string): Promise<Record<string, unknown>> {
  await settle();
  fireEvent.click(await screen.findByRole('button', { name: 'It was earlier' }));
  fireEvent.input(screen.getByLabelText('When it was done'), { target: { value: TYPED } });
  fireEvent.click(screen.getByRole('button', { name: presses }));
  return vi.waitFor(async () => {
    const [entry] = await queueAll(database.value!);
    expect(entry).toBeDefined();
    return entry!.body;
  });
}

const fill = (label: string | RegExp, value: string): void => {
  fireEvent.input(screen.getByLabelText(label), { target: { value } });
};

describe('every act at a barrel may have been done earlier', () => {
  beforeEach(() => {
    vi.stubEnv('TZ', 'UTC');
  });
  afterEach(() => {
    cleanup();
    leave();
    vi.unstubAllEnvs();
  });

  const inCuring = { barrel: shown(water('curing')), judged, onClose: none, onKept: none };
  const inHold = {
    barrel: shown(water('hold')),
    half_mm: 90,
    isSolution: false,
    onClose: none,
    onKept: none,
  };
  const cases: [string, Barrel, () => preact.JSX.Element, () => void, string][] = [
    [
      'a curing’s top-up',
      water('curing'),
      () => <curing.TopUpSheet {...inCuring} />,
      () => fill('Poured in', '40'),
      'Save',
    ],
    ['its new water', water('curing'), () => <curing.ChangeSheet {...inCuring} />, none, 'Save'],
    ['its joint', water('curing'), () => <curing.JointSheet {...inCuring} />, none, 'Save'],
    ['its verdict', water('curing'), () => <verdict.TightSheet {...inCuring} />, none, 'It is tight'],
    [
      'giving it up',
      water('curing'),
      () => <verdict.GiveUpSheet {...inCuring} />,
      () => fill('Why', 'a crack'),
      'Give this curing up',
    ],
    [
      'a curing’s beginning',
      barrel({ contents: null, state: 'new' }),
      () => <Begin barrel={shown(barrel({ contents: null, state: 'new' }))} onSaid={none} />,
      none,
      'Begin curing',
    ],
    [
      'a hold’s top-up',
      water('hold'),
      () => <hold.TopUpSheet {...inHold} />,
      () => fill('Poured in', '40'),
      'Save',
    ],
    [
      'a hold’s strip',
      water('hold'),
      () => <hold.StripSheet {...inHold} />,
      () => fill('Sulphite', '5'),
      'Save',
    ],
    ['a hold’s end', water('hold'), () => <hold.DrainSheet {...inHold} />, none, 'It is drained'],
    [
      'a hold’s beginning',
      barrel({ contents: null, state: 'empty' }),
      () => <hold.BeginSheet {...inHold} />,
      none,
      'It is held wet',
    ],
    [
      'a visit',
      water('hold'),
      () => <TendSheet barrel={inHold.barrel} kind="top_up" onClose={none} onSaid={none} />,
      () => fill('Poured in', '0.1'),
      'Save',
    ],
  ];
  test.each(cases)('%s', async (_, row, sheet, type, presses) => {
    await keeperWith(row);
    openScreen('/sheet', '/sheet', sheet);
    await screen.findByRole('button', { name: presses });
    type();
    const body = await late(presses);
    expect(body.time_typed).toBe(true);
    expect(wallTime(Date.parse(String(body.happened_at)), 'UTC')).toBe(TYPED);
    expect(body.entered_at).not.toBe(body.happened_at);
  });

  test('a hold’s new water and its solution', async () => {
    await keeperWith(water('hold'));
    openScreen('/sheet', '/sheet', () => <hold.ChangeSheet {...inHold} />);
    fireEvent.click(await screen.findByLabelText(SIGNS[0]!.label));
    expect((await late('Save')).time_typed).toBe(true);
    cleanup();
    await keeperWith(water('hold'));
    openScreen('/sheet', '/sheet', () => <hold.SolutionSheet {...inHold} />);
    fireEvent.click(await screen.findByLabelText(/Read, and somebody is with me/));
    expect((await late('It stands full of solution')).time_typed).toBe(true);
  });

  test('a fill, with its rinse before it and its roll after it', async () => {
    await keeperWith(barrel({ contents: null, state: 'empty' }));
    const at = whenSaid(TYPED, null, { now_ms: Date.now(), timezone: 'UTC' });
    const tending = (task: string) => ({ barrel: NEAP, tasks: [task] });
    const bodies = { rinse: tending('rinse'), fill: { barrel: NEAP, name: 'Rye' }, roll: tending('roll') };
    expect(await keepAll(bodies as never, at)).toBe('');
    const kept = await queueAll(database.value!);
    expect(kept.map((entry) => entry.collection)).toEqual(['tendings', 'fills', 'tendings']);
    expect(kept.map((entry) => entry.body.time_typed)).toEqual([true, true, true]);
    const times = kept.map((entry) => Date.parse(String(entry.body.happened_at)));
    expect(times).toEqual([...times].sort((a, b) => a - b));
    expect(wallTime(times[1]!, 'UTC')).toBe(TYPED);
  });

  test('a reading', async () => {
    await keeperWith();
    openScreen('/barrels/:id/readings', `/barrels/${NEAP}/readings`, ReadingsPage);
    await screen.findByLabelText('Weight with its contents');
    fill('Weight with its contents', '8.9');
    fireEvent.click(await screen.findByRole('button', { name: 'It was earlier' }));
    fill('When it was done', TYPED);
    fireEvent.click(screen.getByRole('button', { name: 'Save' }));
    await waitFor(async () => expect((await queueAll(database.value!))[0]?.body.time_typed).toBe(true));
  });

  test('a decant', async () => {
    await keeperWith();
    openScreen('/barrels/:id/decant', `/barrels/${NEAP}/decant`, DecantPage);
    await screen.findByLabelText('What came out');
    fill('What came out', '4.1');
    const body = await late('Decanted');
    expect(body.time_typed).toBe(true);
  });

  test('a taste, and its day is that day', async () => {
    await keeperWith();
    openScreen('/barrels/:id/taste', `/barrels/${NEAP}/taste`, TastePage);
    const rod = await screen.findByRole('slider');
    fireEvent.keyDown(rod, { key: '8' });
    const body = await late('Save');
    expect([body.time_typed, body.tasted_on, body.position]).toEqual([true, '2026-02-10', undefined]);
  });

  test('a wrong time is said at its field, and nothing is kept', async () => {
    await keeperWith(water('hold'));
    openScreen('/sheet', '/sheet', () => <hold.DrainSheet {...inHold} />);
    fireEvent.click(await screen.findByRole('button', { name: 'It was earlier' }));
    fill('When it was done', '2026-01-01T10:00');
    fireEvent.click(screen.getByRole('button', { name: 'It is drained' }));
    await screen.findByText(/when this began/);
    expect(await queueAll(database.value!)).toEqual([]);
  });

  test('"It was now" takes it back', async () => {
    const kept = vi.fn(async (_: unknown) => null);
    function Sheet() {
      const when = useWhen(null);
      return (
        <SheetForm title="x" when={when} onClose={none} onKept={none} onSave={() => kept(when.said())}>
          {null}
        </SheetForm>
      );
    }
    openScreen('/sheet', '/sheet', Sheet);
    fireEvent.click(await screen.findByRole('button', { name: 'It was earlier' }));
    fireEvent.click(screen.getByRole('button', { name: 'It was now' }));
    fireEvent.click(screen.getByRole('button', { name: 'Save' }));
    await waitFor(() => expect(kept).toHaveBeenCalledWith({}));
  });
});

describe('a walk entered on another day', () => {
  afterEach(() => {
    cleanup();
    leave();
  });
  const row = (one: Barrel, label: 'All well' | 'Water changed', tasks: string[]) =>
    ({ barrel: shown(one), due: [], isLate: false, press: { label, tasks }, doneAt: null }) as WalkRow<
      ReturnType<typeof shown>
    >;

  test('leaves a curing’s water to its own page, where it is measured', () => {
    expect(isWalked(row(water('hold'), 'Water changed', ['water_change']))).toBe(true);
    expect(isWalked(row({ ...water('curing'), water: null }, 'Water changed', ['water_change']))).toBe(false);
    expect(isWalked(row(barrel(), 'All well', ['roll']))).toBe(true);
  });

  test('leaves out what was filled since', () => {
    const old = row(barrel(), 'All well', ['roll']);
    const fresh = row(
      barrel({ id: EBB, contents: { ...barrel().contents!, started_at: '2026-02-20T12:00:00Z' } }),
      'All well',
      ['roll'],
    );
    const { there, later } = thereAt([old, fresh], Date.parse('2026-02-19T12:00:00Z'));
    expect([there, later]).toEqual([[old], [fresh]]);
  });

  test('takes water changes in, to the half mark, and sends them with their time', async () => {
    await keeperWith();
    const place = {
      place: { id: CLUB, name: 'Cellar' },
      rows: [
        row(barrel(), 'All well', ['roll', 'leak_check']),
        row({ ...water('hold'), id: EBB, name: 'Ebb' }, 'Water changed', ['water_change', 'roll']),
      ],
      left: 2,
    } as never;
    openScreen('/sheet', '/sheet', () => <DoneEarlierSheet room={place} onClose={none} onSaid={none} />);
    await screen.findByText(/Ebb: water changed too/);
    fireEvent.click(screen.getByRole('button', { name: 'Done then' }));
    await waitFor(async () => expect(await queueAll(database.value!)).toHaveLength(2));
    const bodies = (await queueAll(database.value!)).map((entry) => entry.body);
    expect(bodies.map((body) => [body.time_typed, body.volume_l])).toEqual([
      [true, undefined],
      [true, 2.5],
    ]);
    expect(Date.now() - Date.parse(String(bodies[0]!.happened_at))).toBeGreaterThan(23 * 3_600_000);
  });
});
