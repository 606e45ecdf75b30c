import './style.css';
import { r1 } from '../draw/circle.ts';
import { asPicture } from '../draw/label.ts';

export interface SideViewProps {
  /** Inside measures [cm]. */
  bilge: number;
  head: number;
  length: number;
  stave: number;
  /** Wet depth at the bung [mm], low and high. */
  dipLowMm: number;
  dipHighMm: number;
  halfMm: number;
  label: string;
}

const WIDE = 204;
const HIGH = 196;
const CENTRE = 112;

/** A lying barrel cut lengthways, a rod at its bung: where millimetres matter. */
export function SideView({ bilge, head, length, stave, dipLowMm, dipHighMm, halfMm, label }: SideViewProps) {
  const scale = Math.min(168 / length, 132 / bilge);
  const [half, R, r] = [(length * scale) / 2, (bilge * scale) / 2, (head * scale) / 2];
  const thick = Math.max(6, Math.min(14, stave * scale));
  const x = WIDE / 2;
  // A parabola through the heads and the bung: its control point lies as far beyond the bung again.
  const bow = (end: number, bung: number): number => 2 * bung - end;
  const inside = `M${r1(x - half)} ${r1(CENTRE - r)}Q${x} ${r1(CENTRE - bow(r, R))} ${r1(x + half)} ${r1(CENTRE - r)}V${r1(CENTRE + r)}Q${x} ${r1(CENTRE + bow(r, R))} ${r1(x - half)} ${r1(CENTRE + r)}Z`;
  const over = half + thick * 1.2;
  const rOver = r - (R - r) * 0.25;
  const stavePath = (sign: 1 | -1): string => {
    const y = (radius: number): number => r1(CENTRE + sign * radius);
    return (
      `M${r1(x - over)} ${y(rOver)}Q${x} ${y(bow(rOver, R))} ${r1(x + over)} ${y(rOver)}V${y(rOver + thick)}` +
      `Q${x} ${y(bow(rOver, R) + thick)} ${r1(x - over)} ${y(rOver + thick)}Z`
    );
  };
  const at = (mm: number): number => r1(CENTRE + R - (mm / 10) * scale);
  const [low, high] = [Math.min(dipLowMm, dipHighMm), Math.max(dipLowMm, dipHighMm)];
  const ticks = Array.from({ length: Math.floor(bilge) }, (_, i) => at(10 * (i + 1)));
  const clip = `side-${Math.round(bilge * 10)}-${Math.round(length * 10)}`;
  return (
    <svg
      class="side-view"
      viewBox={`0 0 ${WIDE} ${HIGH}`}
      width={WIDE}
      height={HIGH}
      focusable="false"
      {...asPicture(label)}
    >
      <clipPath id={clip}>
        <path d={inside} />
      </clipPath>
      <path d={inside} class="sv-hollow" />
      <g clip-path={`url(#${clip})`}>
        <path d={`M0 ${at(low)}H${WIDE}V${HIGH}H0Z`} class="sv-water" />
        {high > low && <path d={`M0 ${at(high)}H${WIDE}V${at(low)}H0Z`} class="sv-maybe" />}
        <path d={`M0 ${at((low + high) / 2)}H${WIDE}`} class="sv-level" />
      </g>
      <path
        d={`M${r1(x - half)} ${r1(CENTRE - r)}h${r1(-thick * 0.7)}v${r1(2 * r)}h${r1(thick * 0.7)}Z`}
        class="sv-head"
      />
      <path
        d={`M${r1(x + half)} ${r1(CENTRE - r)}h${r1(thick * 0.7)}v${r1(2 * r)}h${r1(-thick * 0.7)}Z`}
        class="sv-head"
      />
      <path d={stavePath(-1)} class="sv-stave" />
      <path d={stavePath(1)} class="sv-stave" />
      <path d={`M${x - 6} ${r1(CENTRE - R - thick - 1)}h12v${r1(thick + 2)}h-12Z`} class="sv-hollow" />
      <path d={`M${x - 2.5} 8h5V${r1(CENTRE + R)}h-5Z`} class="sv-rod" />
      <path d={`M${x - 2.5} ${at((low + high) / 2)}h5V${r1(CENTRE + R)}h-5Z`} class="sv-wet" />
      {ticks.map((y) => (
        <path key={y} d={`M${x - 2.5} ${y}h5`} class="sv-tick" />
      ))}
      <path d={`M${r1(x - half)} ${at(halfMm)}H${r1(x + half)}`} class="sv-half" />
    </svg>
  );
}
