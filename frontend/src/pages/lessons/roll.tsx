import { Cask, Sketch, Turn } from '~/components/lesson/sketch.tsx';

/** A barrel turned once round, its bung up again. */
export function RollDrawing() {
  return (
    <Sketch>
      <Cask x={48} y={38} radius={19} level={0.8} />
      <Turn x={48} y={38} radius={30} from={30} to={330} />
    </Sketch>
  );
}
