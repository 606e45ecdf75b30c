import { Arrow, Cask, Drop, Sketch } from '~/components/lesson/sketch.tsx';

/** A few drops from a barrel into a small glass. */
export function TastingDrawing() {
  return (
    <Sketch>
      <Cask x={28} y={32} radius={18} level={0.8} />
      <Arrow from={[54, 34]} to={[68, 34]} />
      <Drop x={82} y={24} size={7} />
      <path d="M73 42h18l-4 18h-10z" class="sketch__hollow sketch__glass" />
      <path d="M75.5 53h13l-1.5 7h-10z" class="sketch__spirit" />
    </Sketch>
  );
}
