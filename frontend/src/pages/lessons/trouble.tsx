import { Cask, Drop, Sketch } from '~/components/lesson/sketch.tsx';

/** A barrel that drips into a puddle. */
export function TroubleDrawing() {
  return (
    <Sketch>
      <Cask x={44} y={26} radius={18} level={0.6} />
      <Drop x={44} y={51} size={4.5} />
      <Drop x={54} y={49} size={3} />
      <path d="M24 67q20 -6 42 0q-20 4 -42 0z" class="sketch__drop" />
      <path d="M82 14v22M82 46v1" class="sketch__line" stroke-width="4" />
    </Sketch>
  );
}
