/** Each act that can hurt somebody says so on its own screen, where it is done. */
import { cleanup, fireEvent, screen, waitFor } from '@testing-library/preact';
import type { ComponentType } from 'preact';
import { afterEach, describe, expect, test } from 'vitest';
import type { Barrel, Contents } from '~/api/types.ts';
import { TendSheet } from '~/pages/barrel/tend-sheet.tsx';
import BottlingPage from '~/pages/bottling/index.tsx';
import CuringPage from '~/pages/curing/index.tsx';
import DecantPage from '~/pages/decant/index.tsx';
import HoldPage from '~/pages/hold/index.tsx';
import ReadingsPage from '~/pages/readings/index.tsx';
import RepairPage from '~/pages/repair/index.tsx';
import TastePage from '~/pages/taste/index.tsx';
import TroublePage from '~/pages/trouble/index.tsx';
import VesselPage from '~/pages/vessel/index.tsx';
import WalkPage from '~/pages/walk/index.tsx';
import { BOTTLES, climateAlarm, FIRE, VESSELS } from '~/pages/words/cautions.ts';
import { stored } from '~/store/live.ts';
import { keeperWith, leave, openScreen, settle } from '../at-the-barrel.tsx';
import { barrel, CLUB, NEAP, VESSEL, vessel } from '../cast.ts';

const TODAY = new Date().toISOString();

const inGlass = vessel();

function of(kind: Contents['kind'], state: Barrel['state'], more: Partial<Barrel> = {}): Barrel {
  const contents = { ...barrel().contents!, kind, started_at: TODAY, start_volume_l: 2.5 };
  return barrel({ state, state_since: TODAY, contents, ...more });
}
const held = of('hold', 'held', {
  water: { changed_at: TODAY, half_volume_l: 2.5, half_level: 0.5, top_up_at: null },
});
const inSolution = {
  ...held,
  care: [
    {
      task: 'solution_renew',
      last_at: null,
      due_at: '2099-01-01T00:00:00Z',
      late_at: '2099-01-02T00:00:00Z',
    },
  ],
};
const empty = barrel({ state: 'empty', state_since: TODAY, contents: null });

async function openAt(row: Barrel, page: ComponentType, under = ''): Promise<void> {
  await keeperWith(row);
  openScreen(`/barrels/:id${under}`, `/barrels/${NEAP}${under}`, page);
  await screen.findByRole('main');
}

async function openGlass(page: ComponentType, under = ''): Promise<void> {
  const db = await keeperWith();
  await db.put('vessels', { id: VESSEL, row: inGlass } as never);
  stored(db, ['vessels']);
  openScreen(`/vessels/:id${under}`, `/vessels/${VESSEL}${under}`, page);
}

async function press(name: string | RegExp): Promise<void> {
  const plank = (await screen.findAllByRole('button', { name })).at(-1)!;
  await settle();
  fireEvent.click(plank);
}

afterEach(() => {
  cleanup();
  leave();
  localStorage.clear();
});

describe('where spirit is poured', () => {
  test('the words name fire, clean vessels and lead crystal', () => {
    for (const word of ['flame', 'vapour', 'smoking', 'air the room']) expect(FIRE).toContain(word);
    // Port in a decanter of 32 % lead oxide: 89 to 5331 µg/L in four months (Graziano and Blum, Lancet 337:141, 1991).
    for (const words of [VESSELS, BOTTLES]) expect(words).toMatch(/^Clean .*Never lead crystal/);
  });

  test('a decant says them', async () => {
    await openAt(barrel(), DecantPage, '/decant');
    await screen.findByText(FIRE);
    screen.getByText(VESSELS);
  });

  test('a bottling says them', async () => {
    await openGlass(BottlingPage, '/bottle');
    await screen.findByText(FIRE);
    screen.getByText(BOTTLES);
  });

  test('a blend says them', async () => {
    await openGlass(VesselPage);
    await press('Blend it');
    await screen.findByText(FIRE);
    screen.getByText(VESSELS);
  });

  test('topping up a fill says fire; topping up a hold with water does not', async () => {
    await keeperWith();
    const sheet = (row: Barrel) => (
      <TendSheet
        barrel={{ ...row, care: [] }}
        kind="top_up"
        onClose={() => undefined}
        onSaid={() => undefined}
      />
    );
    openScreen('/', '/', () => sheet(barrel()));
    await screen.findByText(FIRE);
    cleanup();
    openScreen('/', '/', () => sheet(held));
    await screen.findByLabelText('Poured in');
    expect(screen.queryByText(FIRE)).toBeNull();
  });

  test('a rescue says where it may go, and that its vapour burns', async () => {
    const troubles = [
      { id: 't', kind: 'leak', sign: '', since: TODAY, note: '', tastes: [], quarantine: false },
    ] as unknown as Barrel['troubles'];
    await openAt(barrel({ troubles }), TroublePage, '/trouble');
    fireEvent.change(await screen.findByLabelText('How it ended'), { target: { value: 'rescued' } });
    await screen.findByText(/No flame near it: the vapour burns\./);
  });
});

describe('where somebody drinks', () => {
  test('a taste says when not to', async () => {
    await openAt(barrel(), TastePage, '/taste');
    await screen.findByText(/^Not before driving, boating or cellar work\./);
  });
});

describe('where there is water, heat or sulphite', () => {
  test('a curing says that hot water scalds', async () => {
    await openAt(of('curing', 'curing'), CuringPage, '/curing');
    await screen.findByText(/Never glue, varnish or oil\. Hot water scalds: never into a closed barrel\./);
  });

  test('the holding solution says who may make it, where, and with what on', async () => {
    await openAt(held, HoldPage, '/hold');
    await press('Holding solution');
    await screen.findByText(/never alone, and never somebody with asthma/);
    screen.getByText(/Gloves and goggles/);
    screen.getByText(/Never near chlorine or bleach/);
    screen.getByText(/local rules decide/);
  });

  test('draining it says the same', async () => {
    await openAt(inSolution, HoldPage, '/hold');
    await press('Drained');
    await screen.findByText(/outdoors or in moving air; gloves and goggles, never alone, never with asthma/);
  });

  test('a barrel full of solution teaches solution: it is not to be filled to the half mark', async () => {
    await openAt(inSolution, HoldPage, '/hold');
    await screen.findByText(/^Holding solution: sulphite and acid/);
    expect(screen.queryByText(/^Fill to the half mark/)).toBeNull();
  });

  test('changing a curing’s water fills it to the bung, and says to smell the old water first', async () => {
    await keeperWith();
    const row = { ...of('curing', 'curing'), care: [] };
    openScreen('/', '/', () => (
      <TendSheet barrel={row} kind="water_changed" onClose={() => undefined} onSaid={() => undefined} />
    ));
    const poured = (await screen.findByLabelText('Poured in')) as HTMLInputElement;
    expect(poured.value).toBe('5');
    screen.getByText(/^Smell it first\. Slime, must or vinegar: do not refill/);
    expect(document.body.textContent).not.toContain('half mark');
  });
});

describe('where there is fire, weight or a leak', () => {
  test('charring says that it wants a trained hand and no spirit near', async () => {
    await openAt(empty, RepairPage, '/repair');
    await press('Charred or toasted');
    await screen.findByText(/Open fire and dry wood: a trained hand, outdoors, water at hand, and no spirit/);
  });

  test('weighing a heavy barrel says how many hands it wants', async () => {
    await openAt(barrel({ capacity_l: 20, nominal_l: 20, mass_full_kg: 25 }), ReadingsPage, '/readings');
    await screen.findByText(/25.kg full: roll it, two to lift\./);
  });

  test('a leak says fire and lifting first, takes a photo, and may have begun earlier', async () => {
    await openAt(barrel(), TroublePage, '/trouble');
    fireEvent.click(await screen.findByRole('radio', { name: 'A leak' }));
    await screen.findByText(/Keep flames and sparks away: spirit vapour burns/);
    screen.getByText(/lifting a full barrel takes two/);
    screen.getByRole('button', { name: 'It was earlier' });
    await press('Write it down');
    await screen.findByRole('button', { name: 'Add a photo' });
  });
});

describe('the alarm of a climate', () => {
  test.each([
    [13, 70, []],
    [5, 40, []],
    [28, 85, []],
    [28.5, 70, ['Over 28']],
    [4.9, 70, ['Under 5']],
    [13, 39, ['Under 40']],
    [13, 86, ['Over 85']],
    [30, 30, ['Over 28', 'Under 40']],
    [null, null, []],
  ])('at %s °C and %s %%', (temp_c, rh_pct, starts) => {
    const said = climateAlarm(temp_c, rh_pct);
    expect(said.map((line) => starts.find((start) => line.startsWith(start)))).toEqual(starts);
  });

  test('is raised where the air is read on the walk', async () => {
    const db = await keeperWith(barrel({ place: CLUB }));
    const place = { id: CLUB, name: 'Cellar', walking_order: 1, temp_c: null, rh: null };
    await db.put('places', { id: CLUB, row: place } as never);
    stored(db, ['places']);
    openScreen('/walk', '/walk', WalkPage);
    await press('Climate');
    fireEvent.input(await screen.findByLabelText('Temperature'), { target: { value: '30' } });
    await screen.findByText(/Over 28 °C: spirit gives off vapour that burns/);
    // And that it was kept is seen, not only spoken.
    await press('Save');
    const main = await screen.findByRole('main');
    await waitFor(() => expect(main.textContent).toContain('Climate: saved'));
  });

  test('is raised where the air is read at a barrel', async () => {
    await openAt(barrel(), ReadingsPage, '/readings');
    fireEvent.click(await screen.findByRole('radio', { name: 'Air' }));
    fireEvent.input(await screen.findByLabelText('Damp of the air'), { target: { value: '90' } });
    await screen.findByText(/Over 85 %: mould grows/);
  });
});
