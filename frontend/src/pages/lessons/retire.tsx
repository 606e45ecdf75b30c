import { Sketch } from '~/components/lesson/sketch.tsx';

/** Half a barrel with a plant in it. */
export function RetireDrawing() {
  return (
    <Sketch>
      <path d="M24 38h48l-5 28h-38z" class="sketch__wood" stroke-width="5" />
      <path d="M36 38v28M48 38v28M60 38v28" class="sketch__joint" />
      <path
        d="M48 38V12M48 26q-14 -2 -16 -14q14 0 16 14M48 20q12 -2 14 -14q-12 0 -14 14"
        class="sketch__line"
      />
    </Sketch>
  );
}
