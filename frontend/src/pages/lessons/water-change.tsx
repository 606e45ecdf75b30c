import { Arrow, Cask, Sketch } from '~/components/lesson/sketch.tsx';

/** The old water runs out below, fresh water goes in above. */
export function WaterChangeDrawing() {
  return (
    <Sketch>
      <Cask x={48} y={36} radius={20} level={0.5} liquid="water" />
      <Arrow from={[8, 6]} to={[38, 8]} />
      <Arrow from={[70, 52]} to={[90, 66]} />
    </Sketch>
  );
}
