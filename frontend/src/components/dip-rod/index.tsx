import './style.css';
import { r1 } from '../draw/circle.ts';
import { asPicture } from '../draw/label.ts';

export interface DipRodProps {
  /** Depth over the bung diameter, 0 to 1. */
  levelLow?: number;
  levelHigh?: number;
  contents: 'spirit' | 'pale' | 'water' | 'empty';
  /** Said instead of the picture; without it the rod is decoration beside its figures. */
  label?: string;
}

const HEIGHT = 27;

/** A short rod, wet to the true dip, for rows where barrels would stack. */
export function DipRod({ levelLow, levelHigh, contents, label }: DipRodProps) {
  const low = Math.min(1, Math.max(0, levelLow ?? levelHigh ?? 0));
  const high = Math.min(1, Math.max(low, levelHigh ?? low));
  const y = (level: number): number => r1(1 + HEIGHT * (1 - level));
  const wet = contents !== 'empty' && (levelLow !== undefined || levelHigh !== undefined);
  const middle = y((low + high) / 2);
  return (
    <svg class="dip-rod" viewBox="0 0 16 30" width="16" height="30" focusable="false" {...asPicture(label)}>
      <path d="M4 2q4-2 8 0v26q-4 2-8 0Z" class={contents === 'empty' ? 'dip-rod__bare' : 'dip-rod__wood'} />
      {wet && <path d={`M4 ${y(low)}h8V28q-4 2-8 0Z`} class={`dip-rod__wet dip-rod__wet--${contents}`} />}
      {wet && high > low && (
        <path
          d={`M4 ${y(high)}h8V${y(low)}h-8Z`}
          class={`dip-rod__wet dip-rod__maybe dip-rod__wet--${contents}`}
        />
      )}
      {wet && <path d={`M0 ${middle}h16`} class={`dip-rod__line dip-rod__line--${contents}`} />}
    </svg>
  );
}
