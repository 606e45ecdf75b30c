/** The picture of a barrel of water, true even where no forecast has come for it yet. */

import type { BarrelPicture } from '~/components/draw/picture.ts';
import type { ShownBarrel } from '~/outbox/overlay.ts';
import { dipAtVolumeCm } from '~/science/geometry.ts';
import { litres } from '~/science/units.ts';
import { insideNow, pictureOf } from '../words/barrel.ts';
import { insideShape } from './inside-shape.ts';

export function waterPicture(barrel: ShownBarrel, now_ms: number): BarrelPicture {
  const picture = pictureOf(barrel, now_ms);
  const { contents } = barrel;
  if (!contents || insideNow(barrel, now_ms)) return picture;
  const volume = Math.min(contents.start_volume_l, barrel.capacity_l);
  const level = dipAtVolumeCm(insideShape(barrel), litres(volume)) / barrel.shape.bilge_diameter_cm;
  return { ...picture, levelLow: level, levelHigh: level, volumeLowL: volume, volumeHighL: volume };
}
