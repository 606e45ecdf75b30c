/** Where spirit is poured the usual cautions stand; a cellar's air is alarmed of outside 5 to 28 °C and 40 to 85 %. */
import { describe, expect, test } from 'vitest';
import { BOTTLES, climateAlarm, FIRE, VESSELS } from '~/pages/words/cautions.ts';

const SOURCES = import.meta.glob<string>(
  '../../../frontend/src/pages/{bottling,vessel,decant,walk,readings}/*.tsx',
  {
    query: '?raw',
    import: 'default',
    eager: true,
  },
);
const page = (name: string): string =>
  SOURCES[Object.keys(SOURCES).find((path) => path.endsWith(name)) ?? ''] ?? '';

describe('where spirit is poured', () => {
  test('the words name fire, clean vessels and lead crystal', () => {
    for (const word of ['flame', 'vapour', 'smoking', 'air the room']) expect(FIRE).toContain(word);
    // Port in a decanter of 32 % lead oxide: 89 to 5331 µg/L in four months (Graziano and Blum, Lancet 337:141, 1991).
    for (const words of [VESSELS, BOTTLES]) expect(words).toMatch(/^Clean .*Never lead crystal/);
  });
  test.each([
    ['bottling/index.tsx', ['{FIRE}', '{BOTTLES}']],
    ['vessel/sheets.tsx', ['{FIRE}', '{VESSELS}']],
    ['decant/index.tsx', ['{FIRE}', '{VESSELS}']],
    ['walk/sheets.tsx', ['<ClimateAlarm ']],
    ['readings/index.tsx', ['<ClimateAlarm ']],
  ])('%s says them', (name, said) => {
    for (const words of said) expect(page(name)).toContain(words);
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
});
