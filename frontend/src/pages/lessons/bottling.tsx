import { BOTTLE_OUTLINE } from '~/components/draw/bottle.ts';
import { Sketch } from '~/components/lesson/sketch.tsx';

/** Bottles of one size, filled to the same height. */
export function BottlingDrawing() {
  return (
    <Sketch>
      {[8, 36, 64].map((x) => (
        <g key={x} transform={`translate(${x} 6)`}>
          <path d={BOTTLE_OUTLINE} fill="none" stroke="currentColor" stroke-width="1.6" />
          <path d="M9 16H17" stroke="currentColor" stroke-width="2" />
        </g>
      ))}
    </Sketch>
  );
}
