import { Cask, Drop, Sketch } from '~/components/lesson/sketch.tsx';

/** A barrel half full of water, a drop at a joint below, and the jug beside it. */
export function CuringDrawing() {
  return (
    <Sketch>
      <Cask x={34} y={32} radius={20} level={0.5} liquid="water" />
      <Drop x={38} y={58} size={4} />
      <Drop x={24} y={57} size={2.5} />
      <path d="M68 24h16l-2 24h-12zM84 28q8 2 6 9t-8 6M68 24l-4 -3" class="sketch__line" />
    </Sketch>
  );
}
