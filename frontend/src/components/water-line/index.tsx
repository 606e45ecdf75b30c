import './style.css';
import type { ComponentChildren, CSSProperties } from 'preact';
import { type BarrelPicture, levelHeights, staveThickness } from '../draw/picture.ts';
import { EndView } from '../end-view/index.tsx';

export interface WaterLineProps {
  barrel: BarrelPicture;
  /** The screen's edge that cuts the barrel. */
  side: 'left' | 'right';
  /** Inner radius in px on a screen that has the room. */
  radius?: number;
  /** How much width the words need before the barrel gives way. */
  words?: 'narrow' | 'wide';
  /** Stands on the line: its name and what is gone. */
  above: ComponentChildren;
  /** Hangs below the line: what is there. */
  below: ComponentChildren;
  decorative?: boolean;
}

/** A barrel at the screen's edge whose level runs out of the wood across the screen. */
export function WaterLine({ barrel, side, radius = 150, words, above, below, decorative }: WaterLineProps) {
  const outer = radius + staveThickness(barrel, radius);
  const heights = levelHeights(barrel, radius);
  const line = heights?.line ?? -0.3 * radius;
  const overhang = (barrel.sharers?.length ?? 0) > 0 || (barrel.beads?.length ?? 0) > 0;
  // Fractions of the picture's width, so that the style sheet can shrink it and the line stays true.
  const style: CSSProperties & Record<`--${string}`, string | number> = {
    '--picture': `${Math.round(2 * outer)}px`,
    '--line': (outer + line) / (2 * outer),
  };
  const column = words ?? (side === 'left' ? 'narrow' : 'wide');
  return (
    <div
      class={`water-line water-line--${side} water-line--${column}${overhang ? ' water-line--overhang' : ''}`}
      style={style}
    >
      <div class="water-line__in">
        <div class="water-line__above">{above}</div>
        <div class="water-line__level">
          <div class="water-line__picture">
            <EndView
              barrel={barrel}
              radius={radius}
              cut={side}
              runOut={side === 'left' ? 'right' : 'left'}
              decorative={decorative}
            />
          </div>
        </div>
        <div class="water-line__below">{below}</div>
      </div>
    </div>
  );
}
