import { Sketch } from '~/components/lesson/sketch.tsx';

/** A big glass, full to its neck and closed. */
export function VesselDrawing() {
  return (
    <Sketch>
      <path
        d="M40 10h16v12q20 6 20 24v14q0 6 -6 6h-44q-6 0 -6 -6v-14q0 -18 20 -24z"
        class="sketch__hollow sketch__glass"
      />
      <path d="M40 20h16v2q20 6 20 24v14q0 6 -6 6h-44q-6 0 -6 -6v-14q0 -18 20 -24z" class="sketch__spirit" />
      <path d="M40 10h16v12q20 6 20 24v14q0 6 -6 6h-44q-6 0 -6 -6v-14q0 -18 20 -24z" class="sketch__line" />
      <path d="M39 3h18v7h-18z" class="sketch__bung" />
    </Sketch>
  );
}
