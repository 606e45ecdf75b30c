import { BOTTLE_OUTLINE } from '~/components/draw/bottle.ts';
import { Arrow, Sketch } from '~/components/lesson/sketch.tsx';

/** A bottle, and lower down the height it has now. */
export function BottleDrawing() {
  return (
    <Sketch>
      <g transform="translate(26 6)">
        <path d={BOTTLE_OUTLINE} class="sketch__line" />
        <path d="M9 16H17" class="sketch__line" />
      </g>
      <path d="M50 22h22M50 50h22" class="sketch__line" />
      <Arrow from={[61, 24]} to={[61, 46]} />
    </Sketch>
  );
}
