import type { ShownBarrel } from '~/outbox/overlay.ts';
import { halfMarkCm } from '~/science/holding.ts';
import { insideShape } from './inside-shape.ts';

/** How far up the rod half of the barrel reaches [mm], the same on every screen. */
export const halfMarkMm = (barrel: ShownBarrel): number => Math.round(10 * halfMarkCm(insideShape(barrel)));
