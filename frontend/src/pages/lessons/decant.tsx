import { Cask, Sketch } from '~/components/lesson/sketch.tsx';

/** A barrel over a jug: what runs out is measured. */
export function DecantDrawing() {
  return (
    <Sketch>
      <Cask x={36} y={28} radius={19} level={0.6} />
      <path d="M55 34H62V44" fill="none" stroke="currentColor" stroke-width="2" />
      <path d="M54 46V70H78V46M54 60H60M54 54H60" fill="none" stroke="currentColor" stroke-width="2" />
    </Sketch>
  );
}
