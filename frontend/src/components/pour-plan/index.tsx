import './style.css';
import { useLayoutEffect, useRef, useState } from 'preact/hooks';
import { r1 } from '../draw/circle.ts';
import { type BarrelPicture, staveThickness } from '../draw/picture.ts';
import { EndView, type Stratum } from '../end-view/index.tsx';

export interface PourLine {
  key: string;
  /** Where the level stands after it, as a share of the height. */
  level: number;
  liquid: Stratum['liquid'];
  amount: string;
  name: string;
  note?: string;
}

export interface PourPlanProps {
  /** The barrel as it will stand: its level is the last line's. */
  barrel: BarrelPicture;
  /** In the order of pouring. */
  lines: PourLine[];
  /** What stays empty over the last line. */
  empty: string;
  /** The whole picture in one sentence. */
  label: string;
  radius?: number;
}

/** How far the wood reaches into the screen; what is left of that is cut off, as on every barrel's screen. */
const CENTRE = 44;
const GAP = 12;

/** The level after each part, and a line out from each to its amount. Labels that would overlap move down. */
export function PourPlan({ barrel, lines, empty, label, radius = 124 }: PourPlanProps) {
  const outer = radius + staveThickness(barrel, radius);
  const top = 0.09 * radius;
  const column = CENTRE + outer + GAP;
  const labels = useRef<HTMLOListElement>(null);
  const [places, setPlaces] = useState<number[]>([]);
  const [height, setHeight] = useState(0);
  // From the top down: what stays empty, then the part poured last, and so on to the first.
  const shown = [...lines].reverse();
  const wanted = shown.map((line) => top + outer + radius * (1 - 2 * line.level));

  useLayoutEffect(() => {
    const list = labels.current;
    if (!list) return undefined;
    const lay = (): void => {
      const items = [...list.children] as HTMLElement[];
      let free = 0;
      const found = items.map((item, i) => {
        // The first label stands on its line; the others hang from theirs.
        const own = i === 0 ? (wanted[0] ?? 0) - item.offsetHeight : (wanted[i - 1] ?? 0);
        const place = Math.max(own, free);
        free = place + item.offsetHeight;
        return Math.round(place);
      });
      setPlaces((before) => (before.join() === found.join() ? before : found));
      setHeight(free);
    };
    lay();
    const watch = new ResizeObserver(lay);
    for (const item of list.children) watch.observe(item);
    return () => watch.disconnect();
  });

  const picture = 2 * outer + top;
  return (
    <div class="pour-plan">
      <div class="pour-plan__in" style={{ height: `${Math.max(picture, height)}px` }}>
        <div
          class="pour-plan__picture"
          role="img"
          aria-label={label}
          style={{ left: `${CENTRE - outer}px`, top: `${top}px`, width: `${2 * outer}px` }}
        >
          <EndView
            barrel={barrel}
            radius={radius}
            cut="left"
            decorative
            strata={lines.map(({ level, liquid }) => ({ level, liquid }))}
          />
        </div>
        <svg class="pour-plan__leads" width={column} height={picture} aria-hidden="true" focusable="false">
          {shown.map((line, i) => {
            const y = wanted[i] ?? 0;
            const from = CENTRE + Math.sqrt(Math.max(0, outer ** 2 - (y - top - outer) ** 2));
            return (
              <path key={line.key} d={`M${r1(from)} ${r1(y)}L${r1(column)} ${r1(places[i + 1] ?? y)}`} />
            );
          })}
        </svg>
        <ol ref={labels} class="pour-plan__labels" style={{ left: `${column}px` }}>
          <li class="pour-plan__label pour-plan__label--empty note" style={{ top: `${places[0] ?? 0}px` }}>
            {empty}
          </li>
          {shown.map((line, i) => (
            <li key={line.key} class="pour-plan__label" style={{ top: `${places[i + 1] ?? 0}px` }}>
              <p class="lead">
                <b>{line.amount}</b> {line.name}
              </p>
              {line.note && <p class="note">{line.note}</p>}
              {i === shown.length - 1 && shown.length > 1 && <p class="note">poured first</p>}
            </li>
          ))}
        </ol>
      </div>
    </div>
  );
}
