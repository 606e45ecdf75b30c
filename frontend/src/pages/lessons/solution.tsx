import { Cask, Sketch } from '~/components/lesson/sketch.tsx';

/** A spoon of powder over a barrel full of water. */
export function SolutionDrawing() {
  return (
    <Sketch>
      <Cask x={42} y={44} radius={20} level={0.97} liquid="water" />
      <path d="M54 8q8 10 16 0zM70 8L92 3" class="sketch__line" />
      <path d="M48 14v1M52 18v1M46 19v1" class="sketch__line" />
    </Sketch>
  );
}
