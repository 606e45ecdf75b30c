import { Cask, Sketch } from '~/components/lesson/sketch.tsx';

/** A dry barrel, and fire kept at its mouth. */
export function RepairDrawing() {
  return (
    <Sketch>
      <Cask x={34} y={36} radius={20} />
      <path d="M34 50q-10 -8 -2 -18q1 7 6 8q4 -8 -1 -16q14 8 10 20q-3 7 -13 6z" class="sketch__go" />
      <path d="M72 30h18l-3 28h-12zM73 22q8 -10 16 0M73 22v8M89 22v8" class="sketch__line" />
    </Sketch>
  );
}
