import { Cask, Sketch } from '~/components/lesson/sketch.tsx';

/** A rod held upright through the bung, wet as far as the liquid stands. */
export function ReadingDrawing() {
  return (
    <Sketch>
      <Cask x={48} y={42} radius={22} level={0.62} />
      <path d="M46 6h4v58h-4z" class="sketch__hollow sketch__glass" />
      <path d="M46 37h4v27h-4z" class="sketch__spirit" />
    </Sketch>
  );
}
