import { Cask, Sketch } from '~/components/lesson/sketch.tsx';

/** An unknown barrel, and the rule laid beside it. */
export function AdoptDrawing() {
  return (
    <Sketch>
      <Cask x={40} y={34} radius={20} />
      <path d="M12 66h58v-6M12 66v-6M26 66v-4M41 66v-6M55 66v-4" class="sketch__line" />
      <path d="M78 18q0 -8 7 -8t7 8q0 6 -7 9v6M85 41v1" class="sketch__line" />
    </Sketch>
  );
}
