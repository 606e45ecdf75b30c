import './style.css';
import { useMemo } from 'preact/hooks';
import { discBelow, discBetween, drop, halfChord, polar, r1, ringBelow } from '../draw/circle.ts';
import { asPicture } from '../draw/label.ts';
import {
  type BarrelPicture,
  describeBarrel,
  levelHeights,
  type PictureSharer,
  staveThickness,
} from '../draw/picture.ts';
import { grainPath, jointPath, type Stave, staveRing, woodPath, wornPath } from '../draw/staves.ts';
import { glintPath, ripplePath } from '../draw/water.ts';

export interface EndViewProps {
  barrel: BarrelPicture;
  /** Inner radius in px. Above 70 everything is drawn, from 20 no grain, below that ring, liquid and line only. */
  radius: number;
  /** Which edge of the screen cuts the picture; what must be seen keeps to the other side. */
  cut?: 'left' | 'right' | 'none';
  /** The level's line runs out of the wood to this side, as far as the screen reaches. */
  runOut?: 'left' | 'right' | undefined;
  /** The words beside it already say everything. */
  decorative?: boolean;
  /** What was poured one after the other, drawn as if it lay in layers: each up to its level, the first one lowest. */
  strata?: Stratum[];
  /** Of a long list, and far from the window: only its room is kept. */
  isFar?: boolean | undefined;
}

export interface Stratum {
  /** Where it ends, as a share of the height. */
  level: number;
  liquid: 'young' | 'mid' | 'old' | 'water';
}

type Cut = NonNullable<EndViewProps['cut']>;

/** The most initials that fit round the lower arc. */
const MOST_SHARERS = 6;

/** A barrel cut through its bung, lying, with its liquid at the true height. */
export function EndView(props: EndViewProps) {
  const { barrel, radius, decorative = false, isFar = false } = props;
  const outer = radius + staveThickness(barrel, radius);
  return (
    <svg
      class={barrel.isPrivate ? 'end-view end-view--outline' : 'end-view'}
      viewBox={`${r1(-outer)} ${r1(-outer)} ${r1(2 * outer)} ${r1(2 * outer)}`}
      width={r1(2 * outer)}
      height={r1(2 * outer)}
      focusable="false"
      {...asPicture(decorative ? undefined : describeBarrel(barrel))}
    >
      {!isFar && <Drawing {...props} />}
    </svg>
  );
}

function Drawing({ barrel, radius, cut = 'none', runOut, strata }: EndViewProps) {
  const thickness = staveThickness(barrel, radius);
  const outer = radius + thickness;
  const heights = levelHeights(barrel, radius);
  const turn = (((barrel.bungClock ?? 12) % 12) * 360) / 12;
  const outline = barrel.isPrivate === true;
  return (
    <>
      <circle r={r1(radius)} class="ev-hollow" />
      {strata && <Strata strata={strata} radius={radius} />}
      {heights && !strata && <Liquid barrel={barrel} radius={radius} heights={heights} cut={cut} />}
      <Wood barrel={barrel} radius={radius} outer={outer} turn={turn} level={heights?.line} />
      {barrel.hold && radius > 70 && <HalfMark radius={radius} />}
      {barrel.hold && turn !== 0 && <Hand radius={radius} turn={turn} />}
      <Bung radius={radius} outer={outer} turn={turn} />
      {heights && runOut && <RunOut kind={barrel.contents} outer={outer} y={heights.line} side={runOut} />}
      {heights && <Level kind={barrel.contents} radius={radius} heights={heights} />}
      {barrel.beads?.map((bead) => (
        <BeadMark
          key={bead.at}
          at={bead.at}
          outer={outer}
          radius={radius}
          mlPerDay={bead.mlPerDay}
          dry={bead.dry}
        />
      ))}
      {barrel.sharers && !outline && <Sharers sharers={barrel.sharers} outer={outer} cut={cut} />}
    </>
  );
}

interface Heights {
  upper: number;
  line: number;
  lower: number;
}

function Liquid({
  barrel,
  radius,
  heights,
  cut,
}: {
  barrel: BarrelPicture;
  radius: number;
  heights: Heights;
  cut: Cut;
}) {
  const kind = barrel.contents;
  const detail = radius >= 20 && !barrel.isPrivate;
  const side = cut === 'left' ? 1 : -1;
  return (
    <>
      <path d={discBelow(radius, heights.lower)} class={`ev-liquid ev-${kind}`} />
      {heights.lower - heights.upper >= 1 && (
        <path d={discBetween(radius, heights.upper, heights.lower)} class={`ev-liquid ev-maybe ev-${kind}`} />
      )}
      {barrel.quarantine && <path d={discBelow(radius, heights.line)} class="ev-quarantine" />}
      {detail &&
        kind === 'water' &&
        ripplePath(radius, heights.lower, 0.34 * side).map((d) => <path key={d} d={d} class="ev-ripple" />)}
      {detail &&
        kind !== 'water' &&
        radius >= 60 &&
        glintPath(radius, heights.lower, side).map((d, i) => (
          <path key={d} d={d} class="ev-glint" stroke-opacity={0.5 - 0.14 * i} />
        ))}
    </>
  );
}

function Strata({ strata, radius }: { strata: Stratum[]; radius: number }) {
  const y = (level: number): number => radius * (1 - 2 * level);
  return (
    <>
      {strata.map(({ level, liquid }, i) => {
        const foot = i === 0 ? radius : y(strata[i - 1]?.level ?? 0);
        const half = halfChord(radius, y(level));
        return (
          <g key={`${i as number}`}>
            <path d={discBetween(radius, y(level), foot)} class={`ev-stratum-${liquid}`} />
            <path d={`M${r1(-half)} ${r1(y(level))}H${r1(half)}`} class="ev-stratum-line" />
          </g>
        );
      })}
    </>
  );
}

function Level({ kind, radius, heights }: { kind: string; radius: number; heights: Heights }) {
  const half = halfChord(radius, heights.line);
  return <path d={`M${r1(-half)} ${r1(heights.line)}H${r1(half)}`} class={`ev-level ev-level-${kind}`} />;
}

/** Longer than any screen is wide; the screen cuts it. */
const FAR = 4000;

function RunOut({
  kind,
  outer,
  y,
  side,
}: {
  kind: string;
  outer: number;
  y: number;
  side: 'left' | 'right';
}) {
  const sign = side === 'left' ? -1 : 1;
  return (
    <path d={`M${r1(sign * halfChord(outer, y))} ${r1(y)}H${sign * FAR}`} class={`ev-out ev-level-${kind}`} />
  );
}

interface WoodProps {
  barrel: BarrelPicture;
  radius: number;
  outer: number;
  turn: number;
  level: number | undefined;
}

function Wood({ barrel, radius, outer, turn, level }: WoodProps) {
  const { tag, staveCount, woodUsedLow, woodUsedHigh } = barrel;
  const paths = useMemo(() => {
    const staves: Stave[] = staveRing(tag, staveCount);
    const worn = (used: number | undefined): string =>
      used === undefined ? '' : wornPath(staves, radius, outer - radius, used, turn);
    return {
      tones: [0, 1, 2].map((tone) => woodPath(staves, tone, radius, outer, turn)),
      maybe: woodUsedHigh !== woodUsedLow ? worn(woodUsedHigh) : '',
      used: worn(woodUsedLow ?? woodUsedHigh),
      joints: radius >= 20 ? jointPath(staves, radius, outer, turn) : '',
      grain: radius > 70 ? grainPath(tag, staves, radius, outer, turn) : '',
    };
  }, [tag, staveCount, woodUsedLow, woodUsedHigh, radius, outer, turn]);
  const large = radius > 70;
  if (barrel.isPrivate) {
    return (
      <>
        <circle r={r1(radius)} class="ev-plain" />
        <circle r={r1(outer)} class="ev-plain" />
      </>
    );
  }
  return (
    <>
      {paths.tones.map((d, tone) => (
        <path key={`tone${tone as number}`} d={d} class={`ev-oak-${tone}`} />
      ))}
      {paths.maybe && <path d={paths.maybe} class="ev-worn-maybe" />}
      {paths.used && <path d={paths.used} class="ev-worn" />}
      {paths.grain && <path d={paths.grain} class="ev-grain" />}
      {level !== undefined && <path d={ringBelow(radius, outer, level)} class="ev-soaked" />}
      {paths.joints && <path d={paths.joints} class="ev-joint" stroke-width={large ? 1.4 : 0.7} />}
      <circle r={r1(radius)} class="ev-char" stroke-width={large ? r1(radius * 0.022) : 1.2} />
      <circle r={r1(outer)} class="ev-rim" />
      {large && <path d={litPath(outer)} class="ev-lit" />}
    </>
  );
}

/** The lamp catches the upper left of the ring. */
function litPath(outer: number): string {
  const a = polar(276, outer);
  const b = polar(8, outer);
  return `M${r1(a.x)} ${r1(a.y)}A${r1(outer)} ${r1(outer)} 0 0 1 ${r1(b.x)} ${r1(b.y)}`;
}

function Bung({ radius, outer, turn }: { radius: number; outer: number; turn: number }) {
  const top = r1(-(outer + 0.07 * radius));
  const depth = r1(outer - radius + 0.09 * radius);
  const half = r1(0.085 * radius);
  const foot = r1(0.066 * radius);
  const d = `M${-half} ${top}H${half}L${foot} ${r1(top + depth)}H${-foot}Z`;
  return <path d={d} class="ev-bung" transform={turn === 0 ? undefined : `rotate(${turn})`} />;
}

function HalfMark({ radius }: { radius: number }) {
  const length = r1(radius * 0.12);
  return <path d={`M${r1(-radius)} 0h${length}M${r1(radius)} 0h${-length}`} class="ev-mark" />;
}

function Hand({ radius, turn }: { radius: number; turn: number }) {
  if (radius < 70) return null;
  const end = polar(turn, radius * 0.8);
  return (
    <>
      <path d={`M0 0L${r1(end.x)} ${r1(end.y)}`} class="ev-hand" />
      <circle r={r1(radius * 0.035)} class="ev-hub" />
    </>
  );
}

interface BeadProps {
  at: number;
  outer: number;
  radius: number;
  mlPerDay: number;
  dry: boolean | undefined;
}

function BeadMark({ at, outer, radius, mlPerDay, dry }: BeadProps) {
  if (radius < 20) return null;
  const scale = radius > 70 ? 1 : 0.5;
  if (dry) {
    const point = polar(at, outer + 6 * scale);
    return <circle cx={r1(point.x)} cy={r1(point.y)} r={r1(4 * scale)} class="ev-bead-dry" />;
  }
  const point = polar(at, outer + 1);
  const size = Math.min(12, 3.5 + 1.1 * Math.sqrt(Math.max(0, mlPerDay))) * scale;
  return <path d={drop(point.x, point.y, size)} class="ev-bead" />;
}

/** The lower arc in sight, clockwise from the top. */
const arcs: Record<Cut, [number, number]> = { left: [112, 172], right: [188, 248], none: [100, 260] };

function Sharers({ sharers, outer, cut }: { sharers: PictureSharer[]; outer: number; cut: Cut }) {
  if (outer < 84 || sharers.length === 0) return null;
  const [from, to] = arcs[cut];
  const shown = sharers.length > MOST_SHARERS ? sharers.filter((sharer) => sharer.you) : sharers;
  const rest = sharers.length - shown.length;
  const marks: { text: string; weight: number; you: boolean }[] = shown.map((sharer) => ({
    text: sharer.initials,
    weight: sharer.weight,
    you: sharer.you === true,
  }));
  if (rest > 0) marks.push({ text: `+${rest}`, weight: weightOf(sharers) - weightOf(shown), you: false });
  const whole = marks.reduce((sum, mark) => sum + mark.weight, 0) || 1;
  let angle = from;
  const tick = (degrees: number): string => {
    const a = polar(degrees, outer + 5);
    const b = polar(degrees, outer + 13);
    return `M${r1(a.x)} ${r1(a.y)}L${r1(b.x)} ${r1(b.y)}`;
  };
  let ticks = tick(angle);
  const texts = marks.map((mark) => {
    const next = angle + ((to - from) * mark.weight) / whole;
    const place = polar((angle + next) / 2, outer + 18);
    angle = next;
    ticks += tick(angle);
    return (
      <text
        key={`${mark.text}${next}`}
        x={r1(place.x)}
        y={r1(place.y)}
        class={mark.you ? 'ev-sharer ev-sharer-you' : 'ev-sharer'}
        text-anchor="middle"
        dominant-baseline="central"
      >
        {mark.text}
      </text>
    );
  });
  return (
    <>
      <path d={ticks} class="ev-share-tick" />
      {texts}
    </>
  );
}

function weightOf(sharers: PictureSharer[]): number {
  return sharers.reduce((sum, sharer) => sum + sharer.weight, 0);
}
