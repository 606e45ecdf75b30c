import type { ComponentChildren } from 'preact';
import { at, discBelow, drop, r1 } from '../draw/circle.ts';

/** The size of every lesson's drawing. */
export const WIDE = 96;
export const HIGH = 72;

/** A drawing beside three lines: line work of our own, read aloud by the lines and so hidden from readers. */
export function Sketch({ children }: { children: ComponentChildren }) {
  return (
    <svg
      class="sketch"
      viewBox={`0 0 ${WIDE} ${HIGH}`}
      width={WIDE}
      height={HIGH}
      aria-hidden="true"
      focusable="false"
    >
      {children}
    </svg>
  );
}

export interface CaskProps {
  x: number;
  y: number;
  /** Inner radius. */
  radius: number;
  /** How high it stands, as a fraction of the inner height; nothing when left out. */
  level?: number;
  liquid?: 'spirit' | 'water';
  /** Where the bung points, as on a clock's face. */
  bungClock?: number;
}

/** A barrel cut through its bung. */
export function Cask({ x, y, radius, level, liquid = 'spirit', bungClock = 12 }: CaskProps) {
  const thick = Math.max(3, radius * 0.2);
  const outer = radius + thick;
  const turn = (bungClock % 12) * 30;
  const joints = Array.from({ length: 12 }, (_, i) => i * 30 + 15);
  return (
    <g transform={`translate(${r1(x)} ${r1(y)})`}>
      <circle r={r1(radius)} class="sketch__hollow" />
      {level !== undefined && (
        <path d={discBelow(radius, radius * (1 - 2 * level))} class={`sketch__${liquid}`} />
      )}
      <circle r={r1(radius + thick / 2)} class="sketch__wood" stroke-width={r1(thick)} />
      {joints.map((angle) => (
        <path key={angle} d={`M${at(angle, radius)}L${at(angle, outer)}`} class="sketch__joint" />
      ))}
      <path
        d={`M${at(turn - 8, radius - 1)}L${at(turn - 8, outer + 3)}L${at(turn + 8, outer + 3)}L${at(turn + 8, radius - 1)}Z`}
        class="sketch__bung"
      />
    </g>
  );
}

/** A turn in the direction of a clock's hand, from one angle to another, with its head. */
export function Turn({
  x,
  y,
  radius,
  from,
  to,
}: {
  x: number;
  y: number;
  radius: number;
  from: number;
  to: number;
}) {
  const large = to - from > 180 ? 1 : 0;
  return (
    <g transform={`translate(${r1(x)} ${r1(y)})`} class="sketch__go">
      <path d={`M${at(from, radius)}A${r1(radius)} ${r1(radius)} 0 ${large} 1 ${at(to, radius)}`} />
      <path d={`M${at(to - 14, radius - 5)}L${at(to, radius)}L${at(to - 14, radius + 5)}`} />
    </g>
  );
}

/** A drop that hangs from a point. */
export function Drop({ x, y, size }: { x: number; y: number; size: number }) {
  return <path d={drop(x, y, size)} class="sketch__drop" />;
}

/** A straight way with its head; the points are in the drawing's own measure. */
export function Arrow({ from, to }: { from: [number, number]; to: [number, number] }) {
  const [x1, y1] = from;
  const [x2, y2] = to;
  const turn = (Math.atan2(y2 - y1, x2 - x1) * 180) / Math.PI;
  return (
    <g class="sketch__go">
      <path d={`M${r1(x1)} ${r1(y1)}L${r1(x2)} ${r1(y2)}`} />
      <path d="M-6 -5L0 0L-6 5" transform={`translate(${r1(x2)} ${r1(y2)}) rotate(${r1(turn)})`} />
    </g>
  );
}
