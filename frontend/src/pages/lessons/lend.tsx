import { Arrow, Cask, Sketch } from '~/components/lesson/sketch.tsx';

/** A barrel goes out by the door, and comes back. */
export function LendDrawing() {
  return (
    <Sketch>
      <Cask x={22} y={38} radius={15} />
      <path d="M62 68V6H88V68" class="sketch__line" />
      <Arrow from={[44, 28]} to={[78, 28]} />
      <Arrow from={[78, 48]} to={[44, 48]} />
    </Sketch>
  );
}
