import type { Barrel } from '~/api/types.ts';
import { type BarrelShape, barrelShape } from '~/science/geometry.ts';
import { centimetres, litres } from '~/science/units.ts';

/** The inside as the phone's geometry wants it. */
export function insideShape(barrel: Pick<Barrel, 'shape' | 'capacity_l'>): BarrelShape {
  return barrelShape({
    head_diameter_cm: centimetres(barrel.shape.head_diameter_cm),
    bilge_diameter_cm: centimetres(barrel.shape.bilge_diameter_cm),
    length_cm: centimetres(barrel.shape.length_cm),
    profile: barrel.shape.profile,
    weighed_capacity_l: litres(barrel.capacity_l),
  });
}
