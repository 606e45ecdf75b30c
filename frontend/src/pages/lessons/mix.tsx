import { Arrow, Cask, Sketch } from '~/components/lesson/sketch.tsx';

/** A jug poured into a barrel that is not filled to the brim. */
export function MixDrawing() {
  return (
    <Sketch>
      <Cask x={58} y={44} radius={18} level={0.86} />
      <path d="M8 6h18l-4 18h-10z" class="sketch__hollow sketch__glass" />
      <path d="M10 13h14l-3 11h-8z" class="sketch__spirit" />
      <Arrow from={[28, 12]} to={[50, 20]} />
    </Sketch>
  );
}
