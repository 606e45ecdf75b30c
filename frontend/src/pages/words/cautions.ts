/** What is said where spirit is poured: fire and vessels; and of a cellar whose air has become dangerous for it. */

/** Fire: flash points of spirit and water are those of a warm room; no flame within reach is common practice. */
export const FIRE =
  'Strong spirit and its vapour burn: no flame, no smoking, air the room. Wipe spills at once.';

/** Lead leaves crystal for the drink within months: port in a decanter went from 89 to 5331 micrograms a litre in four. */
export const VESSELS =
  'Clean glass or steel made for food. Never lead crystal, brass or painted pots: they give off lead.';

export const BOTTLES =
  'Clean plain glass with a sound cork or cap, upright. Never lead crystal: it gives lead to the drink.';

/** Outside these the air harms what lies in it; design values, no source. */
const COLDEST_C = 5;
const WARMEST_C = 28;
const DRIEST_PCT = 40;
const DAMPEST_PCT = 85;

/** What is wrong with a cellar's air and what to do, or nothing. */
export function climateAlarm(temp_c: number | null, rh_pct: number | null): string[] {
  const said: string[] = [];
  if (temp_c !== null && temp_c > WARMEST_C) {
    said.push(
      'Over 28 °C: spirit gives off vapour that burns and drives out of the wood. Cool the room, air it, no flame.',
    );
  }
  if (temp_c !== null && temp_c < COLDEST_C) {
    said.push(
      'Under 5 °C: water in a barrel may freeze and burst it. Move the barrels or warm the room, with no flame.',
    );
  }
  if (rh_pct !== null && rh_pct < DRIEST_PCT) {
    said.push('Under 40 %: the wood shrinks and leaks. Damp the air and look at every barrel today.');
  }
  if (rh_pct !== null && rh_pct > DAMPEST_PCT) {
    said.push('Over 85 %: mould grows. Air the room, and wipe and look at hoops and heads.');
  }
  return said;
}
