import { describe, expect, test } from 'vitest';
import type { Flight, Person } from '~/api/types.ts';
import { blindSamplesOf } from '~/pages/words/evening.ts';
import {
  beginProblem,
  cautionWords,
  codesLeft,
  drinksIn,
  type FlightDraft,
  flightsWords,
  glassesOf,
  guests,
  isCode,
  isOnTable,
  named,
  offWords,
  ownWords,
  pourable,
  pourWords,
  progressWords,
  scoresWords,
  tableOfCode,
  twinWords,
  waitingWords,
} from '~/pages/words/flights.ts';
import { logWhat } from '~/pages/words/log.ts';
import { barrel, EBB, FILL, flight, logEntry, MEMBER, NEAP, USER } from '../cast.ts';

const NAMES: Record<string, string> = { [MEMBER]: 'Member', [USER]: 'Alder', [FILL]: 'Fen' };
const nameOf = (id: string): string => NAMES[id] ?? 'Somebody';
const gave = (code: string, liking: number, more: Partial<Flight['mine'][number]> = {}) => ({
  code,
  act: `score of ${code}`,
  liking,
  oak: null,
  sample_ml: 10,
  is_spat: false,
  tasted_on: '2026-03-01',
  ...more,
});
const opened = (more: Partial<Flight> = {}): Flight =>
  flight({
    opened_at: '2026-03-01T13:00:00Z',
    opened_by: 'finished',
    key: [
      { code: '783', barrel: EBB, fill: 'e' },
      { code: '412', barrel: NEAP, fill: 'n' },
      { code: '655', barrel: EBB, fill: 'e' },
    ],
    mine: [gave('655', 7), gave('412', 5), gave('783', 5.5)],
    scores: [
      { person: MEMBER, barrel: EBB, fill: 'e', liking: 6.25 },
      { person: FILL, barrel: EBB, fill: 'e', liking: 6 },
      { person: FILL, barrel: NEAP, fill: 'n', liking: 8 },
    ],
    ...more,
  });

describe('what waits', () => {
  test('the glasses of a taster, counted down', () => {
    expect(codesLeft(flight({ mine: [gave('412', 5)] }), MEMBER)).toEqual(['655', '783']);
    expect(waitingWords(flight({ mine: [gave('412', 5)] }), MEMBER, nameOf)).toBe(
      'Alder poured a blind flight for you: two glasses wait.',
    );
    expect(flightsWords([flight()], MEMBER)).toBe('One waits for you.');
  });
  test('nothing waits for who has finished, nor once the names are known', () => {
    const all = [gave('412', 5), gave('655', 5), gave('783', 5)];
    expect(waitingWords(flight({ mine: all }), MEMBER, nameOf)).toBeNull();
    expect(waitingWords(opened({ mine: [] }), MEMBER, nameOf)).toBeNull();
    expect(flightsWords([opened()], MEMBER)).toMatch(/without names/);
  });
  test('the pourer hears how far they are', () => {
    const tasters = [
      { person: MEMBER, scored: 3, codes: null },
      { person: FILL, scored: 1, codes: null },
    ];
    expect(waitingWords(flight({ tasters }), USER, nameOf)).toBe(
      'Your blind flight is on the table. Member has finished; Fen has scored one of three.',
    );
    expect(progressWords(flight({ tasters }), MEMBER, nameOf)).toBe(
      'You have finished; Fen has scored one of three.',
    );
  });
});

describe('what must be said before', () => {
  test('standard drinks: 16.5 mL of alcohol weigh 13.0 g (0.7893 g/mL at 20 °C, OIML R 22), of 10 g each', () =>
    expect(drinksIn(flight(), 10)).toBeCloseTo((16.5 * 0.78924) / 10, 3));
  test('spit cup, water, a wait, and no driving', () => {
    const [first, ...rest] = cautionWords(flight(), 10);
    expect(first).toMatch(
      /about 1\.3 standard drinks of 10\sg.*spit.*water.*two minutes.*Not before driving/,
    );
    expect(rest).toEqual([]);
  });
  test('over four at full strength (common practice, no source), and what it may hold', () => {
    const words = cautionWords(flight({ glasses: 5, allergens: ['nuts', 'gluten_cereals'] }), 10);
    expect(words[1]).toMatch(/At most four .*fifth/);
    expect(words[2]).toBe(
      'Some of it may hold nuts and gluten. Whoever must not have it leaves this flight out.',
    );
  });
});

describe('the evening', () => {
  const day = '2026-03-01';
  test('a blind glass counts at the flight’s mean strength: 16.5 of 30 mL are 55 % vol', () => {
    const mine = [
      gave('655', 7),
      gave('412', 5, { is_spat: true }),
      gave('783', 5, { tasted_on: '2026-02-28' }),
    ];
    expect(blindSamplesOf([flight({ mine })], [], day)).toEqual([
      { id: 'score of 655', sample_ml: 10, abv_pct: expect.closeTo(55), is_spat: false },
      { id: 'score of 412', sample_ml: 10, abv_pct: expect.closeTo(55), is_spat: true },
    ]);
  });
  test('a called-off one was drunk all the same; a told one stands in the log already', () => {
    const mine = [gave('655', 7)];
    expect(blindSamplesOf([flight({ mine, called_off_at: '2026-03-01T13:00:00Z' })], [], day)).toHaveLength(
      1,
    );
    expect(blindSamplesOf([opened({ mine })], [], day)).toEqual([]);
  });
  test('a glass of an unread flight counts as a glass of unknown strength', () => {
    expect(blindSamplesOf([], [gave('111', 5, { sample_ml: 0 })], day)).toEqual([
      { id: 'score of 111', sample_ml: 10, abv_pct: null, is_spat: false },
    ]);
  });
  test('what was had before brings the caution sooner', () => {
    expect(cautionWords(flight(), 10, 2)[1]).toMatch(/^You have had two this evening already\. At most four/);
    expect(cautionWords(flight(), 10, 1)).toHaveLength(1);
  });
});

describe('the names', () => {
  const [ebb, neap] = named(opened(), MEMBER);
  test('come in the order in which their reader met them, one row a barrel', () =>
    expect([ebb!.barrel, ebb!.codes, neap!.codes]).toEqual([EBB, ['655', '783'], ['412']]));
  test('mine stand beside the others’', () => {
    expect(scoresWords(neap!, nameOf)).toBe('You gave 5. Fen 8.');
    expect(scoresWords(ebb!, nameOf)).toBe('You gave 7 and 5.5. Fen 6.');
    expect(scoresWords({ ...neap!, mine: [], others: [] }, nameOf)).toBe('Nobody scored it.');
  });
  test('two scores of one liquid are told without shame', () => {
    expect(twinWords(ebb!)).toMatch(/twice, as 655 and 783\. Your two scores of one liquid lie 1\.5 apart/);
    expect(twinWords({ ...ebb!, mine: [gave('655', 7), gave('783', 7)] })).toMatch(/both the same/);
    expect(twinWords({ ...ebb!, mine: [gave('655', 7)] })).toBe('It stood there twice, as 655 and 783.');
    expect(twinWords(neap!)).toBeNull();
  });
  const own = (more: Partial<NonNullable<Flight['own']>>) =>
    ownWords(opened({ own: { pairs: 1, sd: null, shared_glasses: 0, offset: null, ...more } }));
  test('one’s own scatter is told from five pairs on', () => {
    expect(own({})[0]).toMatch(/from five liquids scored twice on; this is the first/);
    expect(own({ pairs: 6, sd: 0.71 })[0]).toMatch(/^Over six liquids .* own scatter is 0\.7 points/);
    expect(ownWords(opened())).toEqual([]);
    expect(own({ pairs: 0 })).toEqual([]);
  });
  test('a leaning is told from eight shared glasses on, where it is more than chance, and without shame', () => {
    expect(own({ shared_glasses: 3 })[1]).toMatch(/from eight glasses on .* three are here so far/);
    expect(own({ shared_glasses: 12 })[1]).toMatch(/^Of twelve glasses .* lean neither way/);
    expect(own({ shared_glasses: 12, offset: 0.94 })[1]).toMatch(
      /about 0\.9 higher than the others.*not a fault/,
    );
    expect(own({ shared_glasses: 12, offset: -1.26 })[1]).toMatch(/about 1\.3 lower/);
  });
  test('a flight called off says by whom and why', () => {
    const off = flight({
      called_off_at: '2026-03-01T13:00:00Z',
      called_off_by: USER,
      called_off_reason: 'Two glasses were mixed up.',
    });
    expect(offWords(off, MEMBER, nameOf)).toBe('Called off by Alder: Two glasses were mixed up.');
    expect(offWords(off, USER, nameOf)).toMatch(/^Called off by you/);
    expect(waitingWords(off, MEMBER, nameOf)).toBeNull();
    expect(isOnTable(off)).toBe(false);
    expect(tableOfCode([off], '655', MEMBER)).toBeUndefined();
    expect(tableOfCode([off, flight()], '655', MEMBER)).toEqual(flight());
  });
  test.each([
    ['412', true],
    ['099', false],
    ['41', false],
    ['4120', false],
    ['4i2', false],
  ])('%s may stand on a glass: %s', (text, may) => expect(isCode(text)).toBe(may));
  test('what was poured and never scored is told as such', () => {
    const line = (body: Record<string, unknown>) =>
      logWhat(logEntry({ collection: 'samples', body }), { person: nameOf }).replaceAll('\u00a0', ' ');
    expect(line({ sample_ml: 20, flight: FILL })).toBe('20 mL poured blind and scored by nobody');
    expect(line({ sample_ml: 25 })).toBe('25 mL drawn, scored by nobody');
  });
  test('the log says under which number a taste was given', () =>
    expect(
      logWhat(logEntry({ collection: 'tastings', body: { liking: 7, oak: 0, flight: FILL, code: '412' } }), {
        person: nameOf,
      }),
    ).toBe('Member gave 7, blind as 412, oak right'));
});

describe('beginning one', () => {
  const draft = (more: Partial<FlightDraft> = {}): FlightDraft => ({
    fills: ['a', 'b', 'c', 'd'],
    tasters: [MEMBER, FILL],
    sample: '',
    is_without_duplicate: false,
    ...more,
  });
  test('from four on one stands there twice, unless nobody wants it', () => {
    expect(glassesOf(draft())).toBe(5);
    expect(glassesOf(draft({ is_without_duplicate: true }))).toBe(4);
    expect(glassesOf(draft({ fills: ['a', 'b', 'c'] }))).toBe(3);
  });
  test('how much is poured', () =>
    expect(pourWords(draft(), 10).replaceAll('\u00a0', ' ')).toBe(
      'Five glasses for each of two, 10 mL a glass: 100 mL in all. One barrel stands there twice, and only you will know which.',
    ));
  test('what is missing is said', () => {
    expect(beginProblem(draft({ fills: ['a'] }), 10)).toMatch(/two barrels/);
    expect(beginProblem(draft({ tasters: [] }), 10)).toMatch(/who tastes/);
    expect(beginProblem(draft(), null)).toMatch(/between/);
    expect(beginProblem(draft(), 60)).toMatch(/between/);
    expect(beginProblem(draft(), 10)).toBeNull();
  });
  test('only what may be tasted, and only people who are here', () => {
    const held = { ...barrel(), troubles: [{ quarantine: true }] } as unknown as ReturnType<typeof barrel>;
    expect(pourable([held])).toEqual([]);
    const person = (id: string, role: string, left_at: string | null = null) =>
      ({ id, role, left_at, name: id }) as Person;
    const all = [
      person('me', 'keeper'),
      person('a', 'member'),
      person('t', 'tablet'),
      person('g', 'member', 'x'),
    ];
    expect(guests(all, 'me').map((one) => one.id)).toEqual(['a']);
  });
});
