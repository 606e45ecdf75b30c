import { Cask, Drop, Sketch } from '~/components/lesson/sketch.tsx';

/** A full barrel, bung up, wiped dry: no bead at its joints. */
export function FillDrawing() {
  return (
    <Sketch>
      <Cask x={48} y={38} radius={20} level={0.9} />
      <Drop x={84} y={48} size={5} />
      <path d="M76 44L92 62" class="sketch__joint" stroke-width="2" />
    </Sketch>
  );
}
