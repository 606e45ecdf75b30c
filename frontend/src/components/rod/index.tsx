import './style.css';
import type { ComponentChildren, CSSProperties, RefObject } from 'preact';
import { useId, useLayoutEffect, useRef, useState } from 'preact/hooks';
import { Field } from '../field/index.tsx';
import { ANCHORS, halfStep, scoreText, scoreWord } from './words.ts';

export { scoreText, scoreWord } from './words.ts';

export interface RodProps {
  /** Undefined until the first touch: the rod has no start value to lean on. */
  value: number | undefined;
  onChange: (value: number) => void;
  label?: string;
  /** Which hand holds the phone. */
  hand?: 'right' | 'left';
  /** Words in the quiet part, as "What the others gave shows when yours is saved." */
  hint?: ComponentChildren;
}

/** A digit pressed soon after a 1 makes it ten. */
const TEN_WITHIN_MS = 900;

/** A rod to score on: tap or slide, arrows or digits; half steps from 0 to 10. */
export function Rod({ value, onChange, label = 'How do you like it?', hand = 'right', hint }: RodProps) {
  const zone = useRef<HTMLDivElement>(null);
  const lastOne = useRef(0);
  const hintId = useId();
  const stepRem = useStepRem(zone);
  const isRoomy = stepRem >= ROOMY_STEP_REM;
  const set = (score: number): void => onChange(halfStep(score));

  const scoreAt = (clientY: number): number => {
    const box = zone.current?.getBoundingClientRect();
    if (!box || box.height === 0) return 5;
    return halfStep(10 * (1 - (clientY - box.top) / box.height));
  };
  const slide = (event: PointerEvent): void => {
    if (event.buttons === 0 && event.type === 'pointermove') return;
    set(scoreAt(event.clientY));
  };
  const onKeyDown = (event: KeyboardEvent): void => {
    const next = scoreForKey(event.key, value, event.timeStamp - lastOne.current < TEN_WITHIN_MS);
    if (next === undefined || event.altKey || event.ctrlKey || event.metaKey) return;
    event.preventDefault();
    lastOne.current = event.key === '1' ? event.timeStamp : 0;
    onChange(next);
  };

  const style: CSSProperties & Record<`--${string}`, number> = { '--score': value ?? 0 };
  return (
    <div class={`rod rod--${hand}`} style={style}>
      <div class="rod__field">
        {([10, 5, 0] as const).map((anchor) => (
          <span
            key={anchor}
            class={
              isCovered(anchor, value, stepRem) ? 'rod__anchor rod__anchor--covered note' : 'rod__anchor note'
            }
            style={{ '--at': anchor }}
            aria-hidden="true"
          >
            {ANCHORS[anchor]}
          </span>
        ))}
        {value !== undefined && (
          <div class="rod__value" aria-hidden="true">
            <span class="rod__mark figure-mark">{scoreText(value)}</span>
            <span class="rod__word lead">{scoreWord(value)}</span>
          </div>
        )}
        {hint && isRoomy && (
          <p class={hintPlace(value)} id={hintId}>
            {hint}
          </p>
        )}
        {/* A tap beside the rod counts as well; a slide there would fight with scrolling. */}
        <div class="rod__beside" aria-hidden="true" onClick={(event) => set(scoreAt(event.clientY))} />
        <div
          class="rod__touch"
          role="slider"
          tabIndex={0}
          aria-label={label}
          aria-orientation="vertical"
          aria-valuemin={0}
          aria-valuemax={10}
          aria-valuenow={value ?? 0}
          aria-valuetext={value === undefined ? 'not scored yet' : `${scoreText(value)}, ${scoreWord(value)}`}
          aria-describedby={hint ? hintId : undefined}
          onKeyDown={onKeyDown}
          onPointerDown={(event) => {
            event.currentTarget.setPointerCapture?.(event.pointerId);
            slide(event);
          }}
          onPointerMove={slide}
        >
          <RodPicture isWet={value !== undefined} />
          <div class="rod__scale" ref={zone} aria-hidden="true">
            <span style={{ '--at': 10 }}>10</span>
            <span style={{ '--at': 5 }}>5</span>
            <span style={{ '--at': 0 }}>0</span>
          </div>
        </div>
        {value !== undefined && <div class="rod__line" aria-hidden="true" />}
      </div>
      {hint && !isRoomy && (
        <p class="rod__under note" id={hintId}>
          {hint}
        </p>
      )}
    </div>
  );
}

/** What a key sets, or undefined when it is not ours. */
export function scoreForKey(key: string, value: number | undefined, afterOne: boolean): number | undefined {
  const from = value ?? 5;
  // The first arrow press wets the rod at the middle, then moves on from there.
  const step = (by: number): number => (value === undefined ? 5 : halfStep(from + by));
  switch (key) {
    case 'ArrowUp':
    case 'ArrowRight':
      return step(0.5);
    case 'ArrowDown':
    case 'ArrowLeft':
      return step(-0.5);
    case 'PageUp':
      return step(1);
    case 'PageDown':
      return step(-1);
    case 'Home':
      return 0;
    case 'End':
      return 10;
    default:
  }
  if (/^[0-9]$/.test(key)) return key === '0' && afterOne ? 10 : Number(key);
  return undefined;
}

/** Height of a whole point of the scale at ordinary text, in rem. */
const USUAL_STEP_REM = 2.48;
/** Below this the hint no longer fits between the anchors. */
const ROOMY_STEP_REM = 1.7;

/** How high a point of the scale stands compared with the text, which a reader may have enlarged. */
function useStepRem(zone: RefObject<HTMLDivElement | null>): number {
  const [stepRem, setStepRem] = useState(USUAL_STEP_REM);
  useLayoutEffect(() => {
    const measure = (): void => {
      const height = zone.current?.getBoundingClientRect().height ?? 0;
      const rem = Number.parseFloat(getComputedStyle(document.documentElement).fontSize) || 16;
      if (height > 0) setStepRem(height / 10 / rem);
    };
    measure();
    addEventListener('resize', measure);
    return () => removeEventListener('resize', measure);
  }, [zone]);
  return stepRem;
}

/** The mark and its word take the room of an anchor close by. */
export function isCovered(anchor: number, value: number | undefined, stepRem: number): boolean {
  if (value === undefined) return false;
  const half = 0.65 / stepRem;
  return anchor - half < value + 4 / stepRem && anchor + half > value - 2.4 / stepRem;
}

/** The hint moves to the half that the mark leaves free. */
function hintPlace(value: number | undefined): string {
  return value !== undefined && value < 4.5 ? 'rod__hint rod__hint--high note' : 'rod__hint note';
}

const TICKS = Array.from({ length: 21 }, (_, i) => i / 2);

function RodPicture({ isWet }: { isWet: boolean }) {
  return (
    <div class="rod__wood">
      <svg
        class="rod__picture"
        viewBox="0 0 48 440"
        preserveAspectRatio="none"
        aria-hidden="true"
        focusable="false"
      >
        <path
          d="M3 0C1 120 5 260 3 440M10 0C12 140 8 300 10 440M17 0C16 150 21 280 17 440M22 0C24 160 20 320 22 440M33 0C31 130 36 300 32 440M37 0C40 170 35 300 38 440M45 0C43 150 46 300 45 440"
          class="rod__grain"
          vector-effect="non-scaling-stroke"
        />
      </svg>
      <Ticks />
      {isWet && (
        <div class="rod__wet">
          <Ticks />
        </div>
      )}
    </div>
  );
}

function Ticks() {
  const y = (score: number): number => 420 - score * 40;
  const length = (score: number): number => (score % 5 === 0 ? 20 : score % 1 === 0 ? 13 : 7);
  return (
    <svg
      class="rod__ticks"
      viewBox="0 0 48 440"
      preserveAspectRatio="none"
      aria-hidden="true"
      focusable="false"
    >
      <path
        d={TICKS.map((score) => `M0 ${y(score)}h${length(score)}`).join('')}
        class="rod__tick"
        vector-effect="non-scaling-stroke"
      />
    </svg>
  );
}

export interface ScoreFieldProps {
  value: number | undefined;
  onChange: (value: number | undefined) => void;
  label?: string;
}

/** The same score typed, to a tenth. */
export function ScoreField({ value, onChange, label = 'Score, typed' }: ScoreFieldProps) {
  return (
    <Field
      label={label}
      type="number"
      inputMode="decimal"
      min={0}
      max={10}
      step={0.1}
      hint="0 to 10, tenths allowed"
      value={value === undefined ? '' : scoreText(value)}
      onInput={(text) => {
        const typed = Number(text.replace(',', '.'));
        if (text.trim() === '') onChange(undefined);
        else if (typed >= 0 && typed <= 10) onChange(Math.round(typed * 10) / 10);
      }}
    />
  );
}
