/** The picture of a barrel of water, true even where no forecast has come for it yet. */

import type { Barrel } from '~/api/types.ts';
import type { BarrelPicture } from '~/components/draw/picture.ts';
import { dipAtVolumeCm } from '~/science/geometry.ts';
import { litres } from '~/science/units.ts';
import { insideNow, pictureOf } from '../words/barrel.ts';
import { insideShape } from './inside-shape.ts';

/** A level that the log tells: how much stood in it, and when. */
export interface KnownWater {
  at_ms: number;
  volume_l: number;
}

/** `known` is what the log tells; it counts until the forecast has heard of it. */
export function waterPicture(barrel: Barrel, now_ms: number, known?: KnownWater): BarrelPicture {
  const picture = pictureOf(barrel, now_ms);
  const { contents } = barrel;
  if (!contents) return picture;
  const reckoned_ms = contents.near ? Date.parse(contents.near.from) : null;
  const isNews = known !== undefined && (reckoned_ms === null || known.at_ms > reckoned_ms);
  if (!isNews && insideNow(barrel, now_ms)) return picture;
  const volume = Math.min(isNews ? known.volume_l : contents.start_volume_l, barrel.capacity_l);
  const level = dipAtVolumeCm(insideShape(barrel), litres(volume)) / barrel.shape.bilge_diameter_cm;
  return { ...picture, levelLow: level, levelHigh: level, volumeLowL: volume, volumeHighL: volume };
}
