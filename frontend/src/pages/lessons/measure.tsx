import { Sketch } from '~/components/lesson/sketch.tsx';

/** A barrel lying, cut along its axis: across the middle, across a head, and from head to head. */
export function MeasureDrawing() {
  return (
    <Sketch>
      <path d="M14 16Q48 4 82 16V48Q48 60 14 48Z" class="sketch__hollow" />
      <path d="M14 16Q48 4 82 16M14 48Q48 60 82 48M18 15V49M78 15V49" class="sketch__line" />
      <path d="M48 11V53M45 14l3 -3l3 3M45 50l3 3l3 -3" class="sketch__go" />
      <path d="M26 14V50M23 17l3 -3l3 3M23 47l3 3l3 -3" class="sketch__go" />
      <path d="M18 66H78M18 62v8M78 62v8" class="sketch__line" />
    </Sketch>
  );
}
