import { Sketch } from '~/components/lesson/sketch.tsx';

/** Three glasses alike, told apart by marks alone. */
export function FlightDrawing() {
  return (
    <Sketch>
      {[6, 36, 66].map((x, i) => (
        <g key={x} transform={`translate(${x} 12)`}>
          <path d="M0 0h24l-5 26h-14z" class="sketch__hollow sketch__glass" />
          <path d="M2 11h20l-3 15h-14z" class="sketch__spirit" />
          <path d={`M6 38h${(i + 1) * 4}M6 44h${12 - i * 4}`} class="sketch__line" />
        </g>
      ))}
    </Sketch>
  );
}
