import { Cask, Drop, Sketch } from '~/components/lesson/sketch.tsx';

/** A bead at a joint low down, and the rag that wiped it. */
export function LookDrawing() {
  return (
    <Sketch>
      <Cask x={34} y={34} radius={20} level={0.8} />
      <Drop x={49} y={53} size={4.5} />
      <path d="M66 20q8 -6 18 -2l4 22q-8 6 -20 2z" class="sketch__line" />
      <path d="M70 28q6 -3 13 -1M72 35q6 -3 12 -1" class="sketch__line" />
    </Sketch>
  );
}
