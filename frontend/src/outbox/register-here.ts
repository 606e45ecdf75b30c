/** An edit of a barrel's register that only this phone knows of, laid over what the server last said. */

import type { Barrel } from '../api/types.ts';
import { type BarrelShape, barrelShape, shapeFromCapacity, shapeFromOutside } from '../science/geometry.ts';
import { USUAL_CHIME_MM, USUAL_HEAD_MM } from '../science/tables.ts';
import { centimetres, litres } from '../science/units.ts';

type Register = Barrel['register'];

const cm = (millimetres: number) => centimetres(millimetres / 10);

/** The inside by the measures of a register, as the server works it out; null where they make no barrel. */
function insideOf(register: Register, nominal_l: number): BarrelShape | null {
  const { bilge_diameter_cm: bilge, head_diameter_cm: head, length_cm: length } = register;
  const {
    outside_bilge_diameter_cm: wide,
    outside_head_diameter_cm: end,
    outside_length_cm: long,
  } = register;
  const { stave_mm, head_mm, chime_mm } = register;
  try {
    if (bilge && head && length)
      return barrelShape({
        bilge_diameter_cm: centimetres(bilge),
        head_diameter_cm: centimetres(head),
        length_cm: centimetres(length),
      });
    if (!(wide && end && long && stave_mm)) return shapeFromCapacity(litres(nominal_l));
    return shapeFromOutside({
      bilge_diameter_cm: centimetres(wide),
      head_diameter_cm: centimetres(end),
      length_cm: centimetres(long),
      stave_cm: cm(stave_mm),
      head_thickness_cm: cm(head_mm ?? USUAL_HEAD_MM),
      chime_cm: cm(chime_mm ?? USUAL_CHIME_MM),
    });
  } catch {
    // Measures that make no barrel are sent back with their reason; until then the old shape stands.
    return null;
  }
}

const isInside = (register: Register): boolean =>
  Boolean(register.bilge_diameter_cm && register.head_diameter_cm && register.length_cm);

const isOutside = (register: Register): boolean =>
  !isInside(register) &&
  Boolean(
    register.outside_bilge_diameter_cm &&
      register.outside_head_diameter_cm &&
      register.outside_length_cm &&
      register.stave_mm,
  );

/** What nobody measured of the wood and the shape takes as usual. */
function assumedOf(register: Register): Record<string, number> {
  if (!isOutside(register)) return {};
  return {
    ...(register.head_mm === null ? { head_mm: USUAL_HEAD_MM } : {}),
    ...(register.chime_mm === null ? { chime_mm: USUAL_CHIME_MM } : {}),
  };
}

/** A barrel with the shape, and where it was not weighed the capacity, that its register makes. */
export function withMeasures(barrel: Barrel): Barrel {
  const { register } = barrel;
  const inside = insideOf(register, barrel.nominal_l);
  if (inside === null) return barrel;
  const taped = isInside(register) || isOutside(register);
  const { bilge_diameter_cm, head_diameter_cm, length_cm, profile } = inside;
  const capacity =
    register.weighed_capacity_l !== null
      ? {}
      : {
          capacity_l: taped ? inside.shape_capacity_l : barrel.nominal_l,
          capacity_basis: (taped ? 'taped' : 'nominal') as Barrel['capacity_basis'],
        };
  return {
    ...barrel,
    ...capacity,
    shape: {
      ...barrel.shape,
      profile,
      bilge_diameter_cm,
      head_diameter_cm,
      length_cm,
      stave_mm: register.stave_mm,
      assumed_mm: assumedOf(register),
    },
  };
}

const MEASURES = /_cm$|_mm$/;

/** Lays an edit over a barrel: what it names is so from now on. */
export function edited(barrel: Barrel, changes: Record<string, unknown>): Barrel {
  const named = (field: string): boolean => field in changes;
  const register = Object.fromEntries(
    Object.entries(barrel.register).map(([field, value]) => [field, named(field) ? changes[field] : value]),
  ) as unknown as Register;
  const told = {
    ...barrel,
    name: typeof changes.name === 'string' ? changes.name : barrel.name,
    wood: typeof changes.wood === 'string' ? changes.wood : barrel.wood,
    char: typeof changes.char === 'string' ? changes.char : barrel.char,
    bung_tight: typeof changes.bung_tight === 'boolean' ? changes.bung_tight : barrel.bung_tight,
    // What is taken off the list may have been in a fill as well: only the server can say.
    allergens: [
      ...new Set([...barrel.allergens, ...register.adopted_allergens]),
    ].sort() as Barrel['allergens'],
    register,
  };
  return Object.keys(changes).some((field) => MEASURES.test(field)) ? withMeasures(told) : told;
}
