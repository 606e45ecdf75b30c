import './style.css';
import { r1 } from '../draw/circle.ts';
import { asPicture } from '../draw/label.ts';

export interface WoodPlankProps {
  /** Share of the wood's life that is used, 0 to 1. */
  usedLow: number;
  usedHigh: number;
  label?: string;
}

/** A stave cut across: the height of sound wood is the wood that is left, between two estimates. */
export function WoodPlank({ usedLow, usedHigh, label }: WoodPlankProps) {
  const clamp = (value: number): number => Math.min(1, Math.max(0, value));
  const sure = r1(13 * (1 - clamp(usedHigh)));
  const perhaps = r1(13 * (1 - clamp(usedLow)));
  return (
    <svg
      class="wood-plank"
      viewBox="-0.5 -0.5 23 14"
      width="23"
      height="14"
      focusable="false"
      {...asPicture(label)}
    >
      <rect width="22" height="13" class="wood-plank__used" />
      <rect width="22" height={perhaps} class="wood-plank__maybe" />
      <rect width="22" height={sure} class="wood-plank__sound" />
      <rect width="22" height="13" class="wood-plank__edge" />
    </svg>
  );
}
