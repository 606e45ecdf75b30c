import './style.css';
import { useId } from 'preact/hooks';

export interface ScaleProps {
  label: string;
  /** Undefined until it is touched: a scale that starts in the middle makes middles. */
  value: number | undefined;
  onChange: (value: number | undefined) => void;
}

const ANCHORS: [number, string][] = [
  [8.5, 'very strong'],
  [6.5, 'strong'],
  [4, 'clear'],
  [2, 'slight'],
  [0.5, 'just there'],
  [0, 'none'],
];

export function intensityWord(value: number): string {
  return ANCHORS.find(([from]) => value >= from)?.[1] ?? 'none';
}

/** How strong something is, 0 to 10 by halves, or not noted at all. */
export function Scale({ label, value, onChange }: ScaleProps) {
  const id = useId();
  const says = value === undefined ? 'not noted' : `${value}, ${intensityWord(value)}`;
  return (
    <div class={value === undefined ? 'scale' : 'scale scale--set'}>
      <div class="scale__line">
        <label for={id}>{label}</label>
        <span class="note" aria-hidden="true">
          {says}
        </span>
        {value !== undefined && (
          <button type="button" class="link scale__out" onClick={() => onChange(undefined)}>
            Leave out<span class="sr"> {label}</span>
          </button>
        )}
      </div>
      <input
        id={id}
        class="scale__rail"
        type="range"
        min={0}
        max={10}
        step={0.5}
        value={value ?? 0}
        aria-valuetext={says}
        onInput={(event) => onChange(Number(event.currentTarget.value))}
        // A tap where the thumb lies already is a nought, and the browser tells of no change.
        onClick={(event) => value === undefined && onChange(Number(event.currentTarget.value))}
      />
    </div>
  );
}
