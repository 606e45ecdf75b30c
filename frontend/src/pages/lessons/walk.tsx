import { Arrow, Cask, Sketch } from '~/components/lesson/sketch.tsx';

/** The aisle between barrels at both sides. */
export function WalkDrawing() {
  return (
    <Sketch>
      <Cask x={12} y={20} radius={11} level={0.7} />
      <Cask x={84} y={28} radius={13} level={0.5} liquid="water" />
      <Cask x={14} y={54} radius={10} level={0.8} />
      <Arrow from={[48, 66]} to={[48, 10]} />
    </Sketch>
  );
}
