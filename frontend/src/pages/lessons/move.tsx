import { Arrow, Cask, Sketch } from '~/components/lesson/sketch.tsx';

/** A barrel goes from one shelf to another. */
export function MoveDrawing() {
  return (
    <Sketch>
      <Cask x={22} y={46} radius={14} level={0.8} />
      <path d="M2 66h40M54 40h40" class="sketch__line" />
      <path d="M60 24a14 14 0 0 1 28 0a14 14 0 0 1 -28 0" class="sketch__line" stroke-dasharray="3 4" />
      <Arrow from={[40, 30]} to={[56, 24]} />
    </Sketch>
  );
}
