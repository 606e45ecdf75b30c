import './style.css';
import { rangeText } from './format.ts';

/** Where a figure comes from. "guessed": reckoned without climate readings, so wider. */
export type Origin = 'calculated' | 'measured' | 'guessed';

export interface RangeProps {
  low: number;
  high: number;
  unit: string;
  origin: Origin;
  /** "figure" and "say" are the point of their line and take the voice; a "note" keeps the plain voice and says the word. */
  size?: 'figure' | 'note' | 'say';
  join?: 'to' | 'dash';
  /** The sentence around it says the word already. */
  wordless?: boolean;
}

const words: Record<Origin, string> = {
  calculated: 'calculated',
  measured: 'measured',
  guessed: 'calculated, climate guessed',
};

/** A range in the voice of its origin. */
export function Range({ low, high, unit, origin, size = 'note', join = 'to', wordless = false }: RangeProps) {
  const voice = origin === 'measured' || size === 'note' ? '' : ' reck';
  const text = rangeText({ low, high, unit, join });
  // At the size of a figure the two ends speak for themselves; the word is then for readers only.
  const hidden = size !== 'note' && origin !== 'guessed';
  return (
    <span class={`range range--${size}${voice}`}>
      {text}
      {!wordless && <span class={hidden ? 'sr' : undefined}>, {words[origin]}</span>}
    </span>
  );
}
