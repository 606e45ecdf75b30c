import { Cask, Sketch } from '~/components/lesson/sketch.tsx';

/** Half a barrel of water, its bung a third round. */
export function HoldDrawing() {
  return (
    <Sketch>
      <Cask x={34} y={36} radius={21} level={0.5} liquid="water" bungClock={8} />
      <path d="M70 14q16 8 12 26M82 40l-6 -3M82 40l4 -6" class="sketch__line" />
    </Sketch>
  );
}
