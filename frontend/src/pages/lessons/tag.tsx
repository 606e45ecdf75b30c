import { Cask, Sketch } from '~/components/lesson/sketch.tsx';

/** A label on a string, at the bung. */
export function TagDrawing() {
  return (
    <Sketch>
      <Cask x={32} y={40} radius={20} level={0.8} />
      <path d="M34 14Q50 2 60 22" class="sketch__line" />
      <path d="M54 26l8 -6l8 6v34h-16z" class="sketch__hollow sketch__glass" />
      <path d="M54 26l8 -6l8 6v34h-16zM58 36h8M58 43h8M58 50h8" class="sketch__line" />
    </Sketch>
  );
}
