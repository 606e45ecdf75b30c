import './style.css';
import { r1 } from '../draw/circle.ts';

export interface BottleLevelProps {
  /** How much of the bottle's height the liquid stands to, 0 to 1. */
  level: number;
  contents?: 'spirit' | 'pale' | 'water';
  label: string;
}

/** A bottle's outline with its true level. */
export function BottleLevel({ level, contents = 'spirit', label }: BottleLevelProps) {
  const share = Math.min(1, Math.max(0, level));
  // The straight part of the bottle reaches from 64 up to 26; the shoulders and neck hold little.
  const y = r1(64 - 52 * share);
  const half = y >= 31 ? 13 : y >= 15 ? 4 + ((y - 15) / 16) * 9 : 4;
  const wet =
    y >= 31
      ? `M0 ${y}H26V64H0Z`
      : `M${r1(13 - half)} ${y}H${r1(13 + half)}C22 ${r1((y + 31) / 2)} 26 24 26 31V64H0V31C0 24 4 ${r1((y + 31) / 2)} ${r1(13 - half)} ${y}Z`;
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
      <path d={wet} class={`bottle-level__wet bottle-level__wet--${contents}`} />
      <path d="M9 0h8v15c0 6 9 8 9 16v33H0V31c0-8 9-10 9-16z" class="bottle-level__glass" />
      <path d={`M${r1(13 - half)} ${y}H${r1(13 + half)}`} class="bottle-level__line" />
    </svg>
  );
}
