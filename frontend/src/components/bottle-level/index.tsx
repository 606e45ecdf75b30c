import './style.css';
import { BOTTLE_OUTLINE, bottleHalfWidth, bottleLevelY, bottleWet } from '../draw/bottle.ts';
import { r1 } from '../draw/circle.ts';

export interface BottleLevelProps {
  /** How much of the bottle's height the liquid stands to, 0 to 1. */
  level: number;
  contents?: 'spirit' | 'pale' | 'water';
  label: string;
}

/** A bottle's outline with its true level. */
export function BottleLevel({ level, contents = 'spirit', label }: BottleLevelProps) {
  const y = bottleLevelY(level);
  const half = bottleHalfWidth(y);
  return (
    <svg
      class="bottle-level"
      viewBox="-1 -1 28 66"
      width="28"
      height="66"
      role="img"
      aria-label={label}
      focusable="false"
    >
      <path d={bottleWet(y)} class={`bottle-level__wet bottle-level__wet--${contents}`} />
      <path d={BOTTLE_OUTLINE} class="bottle-level__glass" />
      <path d={`M${r1(13 - half)} ${y}H${r1(13 + half)}`} class="bottle-level__line" />
    </svg>
  );
}
