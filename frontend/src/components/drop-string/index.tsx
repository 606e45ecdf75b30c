import './style.css';
import { drop, r1 } from '../draw/circle.ts';
import { asPicture } from '../draw/label.ts';

export interface DropStringProps {
  /** What left a day at each top-up, oldest first [mL]. */
  perDay: number[];
  /** What a tight barrel may lose [mL a day]. */
  tightMl: number;
  /** When it will probably be tight: "Friday". */
  when: string | null;
  /** Read aloud instead of the picture. */
  label: string;
}

const WIDTH = 350;
const HEIGHT = 112;
const AXIS = 34;
const MOST = 6;
const BIGGEST = 19;
const PLANK = 74;

/** One drop a top-up, its area by what left a day; then now, and the size of a tight one in outline. */
export function DropString({ perDay, tightMl, when, label }: DropStringProps) {
  const shown = perDay.slice(-MOST);
  const most = Math.max(...shown, tightMl, 1);
  const size = (ml: number): number => Math.max(2.5, BIGGEST * Math.sqrt(Math.max(0, ml) / most));
  const room = when === null ? WIDTH - 30 : WIDTH - 30 - PLANK - 30;
  const step = Math.min(48, room / Math.max(1, shown.length));
  const now = r1(8 + step * shown.length + 12);
  const end = r1(Math.max(now + 34 + PLANK / 2, 250));
  return (
    <svg
      class="drops"
      viewBox={`0 0 ${WIDTH} ${HEIGHT}`}
      width={WIDTH}
      height={HEIGHT}
      focusable="false"
      {...asPicture(label)}
    >
      <path d={`M0 ${AXIS}H${WIDTH}`} class="drops__axis" />
      {shown.map((ml, i) => {
        const x = r1(8 + step * (i + 0.5));
        return (
          <g key={i}>
            <path d={drop(x, AXIS + 5, size(ml))} class="drops__wet" />
            <text x={x} y={AXIS - 10} text-anchor="middle" class="drops__figure">
              {Math.round(ml)}
            </text>
          </g>
        );
      })}
      <path d={`M${now} 8V${AXIS + 34}`} class="drops__now" />
      <text x={now} y={AXIS + 52} text-anchor="middle" class="drops__figure drops__lit">
        now
      </text>
      {when !== null && (
        <>
          <path
            d={`M${end - PLANK / 2} ${AXIS - 3}Q${end} ${AXIS - 7} ${end + PLANK / 2} ${AXIS - 3}v6Q${end} ${AXIS + 7} ${end - PLANK / 2} ${AXIS + 3}Z`}
            class="drops__plank"
          />
          <path d={drop(end, AXIS + 9, size(tightMl))} class="drops__tight" />
          <text x={end} y={AXIS - 14} text-anchor="middle" class="drops__figure drops__lit">
            {Math.round(tightMl)} is tight
          </text>
          <text x={end} y={AXIS + 60} text-anchor="middle" class="drops__figure">
            {when}
          </text>
        </>
      )}
    </svg>
  );
}
