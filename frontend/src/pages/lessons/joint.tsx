import { Drop, Sketch } from '~/components/lesson/sketch.tsx';

/** Two staves from near by: a bead comes back at the joint that was wiped. */
export function JointDrawing() {
  return (
    <Sketch>
      <path d="M14 8h30v40h-30zM52 8h30v40h-30z" class="sketch__wood" stroke-width="4" />
      <path d="M48 8v40" class="sketch__joint" stroke-width="2" />
      <Drop x={48} y={44} size={7} />
      <path d="M20 62q28 -8 56 0" class="sketch__line" />
      <path d="M70 56l6 6l-8 3" class="sketch__line" />
    </Sketch>
  );
}
