import { Arrow, Cask, Sketch } from '~/components/lesson/sketch.tsx';

/** A small jug over the bung; a little room stays under it. */
export function TopUpDrawing() {
  return (
    <Sketch>
      <Cask x={58} y={44} radius={20} level={0.86} />
      <path d="M10 6h14l-3 14h-8z" class="sketch__hollow sketch__glass" />
      <path d="M12 12h10l-1.7 8h-6.6z" class="sketch__spirit" />
      <Arrow from={[28, 12]} to={[50, 17]} />
    </Sketch>
  );
}
