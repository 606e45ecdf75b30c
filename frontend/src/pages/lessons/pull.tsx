import { Sketch } from '~/components/lesson/sketch.tsx';

/** How well it is liked, week by week: pulled at the top, before it falls. */
export function PullDrawing() {
  return (
    <Sketch>
      <path d="M10 6V64H90" class="sketch__line" />
      <path d="M12 58Q44 -14 88 44" class="sketch__go" />
      <path d="M49 18V64" class="sketch__line" stroke-dasharray="3 4" />
      <path d="M43 18a6 6 0 1 0 12 0a6 6 0 1 0 -12 0" class="sketch__spirit" />
    </Sketch>
  );
}
