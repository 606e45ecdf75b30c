import './style.css';
import { r1 } from '../draw/circle.ts';
import { asPicture } from '../draw/label.ts';
import { stavePiece } from '../draw/stave-shape.ts';

export interface StaveLineStay {
  kind: 'curing' | 'fill' | 'hold' | 'bare';
  /** Milliseconds since 1970, as everywhere in the browser. */
  from: number;
  to: number | null;
  name?: string | null;
  oak?: 'weak' | 'medium' | 'strong';
}

export interface StaveLineBooking {
  from: number;
  to: number;
  state: 'pencilled' | 'confirmed';
  name?: string;
}

export interface StaveLineProps {
  stays: StaveLineStay[];
  booked?: StaveLineBooking[];
  from: number;
  to: number;
  now: number;
  /** 36 on a barrel's own screen, 24 in a row. */
  height?: number;
  /** Read as one picture with these words; without it, as a list of stays. */
  label?: string;
  /** The words beside it say it all. */
  decorative?: boolean;
  formatDate?: (ms: number) => string;
}

const WIDTH = 1000;

const dayAndMonth = new Intl.DateTimeFormat('en-GB', { day: 'numeric', month: 'long' });

const kindWords: Record<StaveLineStay['kind'], string> = {
  curing: 'Curing',
  fill: 'Fill',
  hold: 'Wet hold',
  bare: 'Empty',
};

/** A stave seen flat with time along it: what the barrel held, what it holds, what is booked. */
export function StaveLine({
  stays,
  booked = [],
  from,
  to,
  now,
  height = 36,
  label,
  decorative,
  formatDate = (ms) => dayAndMonth.format(ms),
}: StaveLineProps) {
  const shape = { width: WIDTH, height };
  const share = (ms: number): number => Math.min(1, Math.max(0, (ms - from) / Math.max(1, to - from)));
  const pieces = stays
    .map((stay) => ({ stay, a: share(stay.from), b: share(stay.to ?? now) }))
    // A stay of a day is still seen.
    .map(({ stay, a, b }) => ({ stay, a, b: Math.max(b, Math.min(1, a + 0.005)) }))
    .filter(({ stay }) => (stay.to ?? now) > from && stay.from < to);
  const x = r1(share(now) * WIDTH);
  return (
    <div class="stave-line">
      <svg
        class="stave-line__picture"
        viewBox={`0 0 ${WIDTH} ${height}`}
        preserveAspectRatio="none"
        height={height}
        focusable="false"
        {...asPicture(label)}
      >
        <path d={stavePiece(shape, 0, 1)} class="stave-line__bare" />
        {pieces.map(({ stay, a, b }) => (
          <Piece key={stay.from} stay={stay} shape={shape} a={a} b={b} />
        ))}
        {booked.map((booking) => (
          <path
            key={booking.from}
            d={stavePiece(shape, share(booking.from), share(booking.to))}
            class={`stave-line__booked stave-line__booked--${booking.state}`}
            vector-effect="non-scaling-stroke"
          />
        ))}
        <path d={stavePiece(shape, 0, 1)} class="stave-line__edge" vector-effect="non-scaling-stroke" />
        {now >= from && now <= to && (
          <path d={`M${x} 1V${height - 1}`} class="stave-line__now" vector-effect="non-scaling-stroke" />
        )}
      </svg>
      {!label && !decorative && (
        <ul class="sr">
          {pieces.map(({ stay }) => (
            <li key={stay.from}>{stayWords(stay, formatDate)}</li>
          ))}
          {booked.map((booking) => (
            <li key={booking.from}>{bookingWords(booking, formatDate)}</li>
          ))}
        </ul>
      )}
    </div>
  );
}

interface PieceProps {
  stay: StaveLineStay;
  shape: { width: number; height: number };
  a: number;
  b: number;
}

function Piece({ stay, shape, a, b }: PieceProps) {
  const cut = `M${r1(a * WIDTH)} 0V${shape.height}`;
  return (
    <>
      {stay.kind === 'hold' ? (
        <>
          <path d={stavePiece(shape, a, b, 'lower')} class="stave-line__water" />
          <path
            d={`M${r1(a * WIDTH)} ${r1(shape.height / 2)}H${r1(b * WIDTH)}`}
            class="stave-line__level"
            vector-effect="non-scaling-stroke"
          />
        </>
      ) : (
        stay.kind !== 'bare' && (
          <path
            d={stavePiece(shape, a, b)}
            class={stay.kind === 'curing' ? 'stave-line__water' : `stave-line__fill--${stay.oak ?? 'medium'}`}
          />
        )
      )}
      {a > 0 && <path d={cut} class="stave-line__cut" vector-effect="non-scaling-stroke" />}
    </>
  );
}

function stayWords(stay: StaveLineStay, formatDate: (ms: number) => string): string {
  const what = stay.name ? `${kindWords[stay.kind]} of ${stay.name}` : kindWords[stay.kind];
  return stay.to === null
    ? `${what}, since ${formatDate(stay.from)}.`
    : `${what}, ${formatDate(stay.from)} to ${formatDate(stay.to)}.`;
}

/** A booking runs from midnight to midnight: its last day is the one before its end. */
const NOON = 43_200_000;

function bookingWords(booking: StaveLineBooking, formatDate: (ms: number) => string): string {
  const state = booking.state === 'pencilled' ? 'Pencilled' : 'Confirmed';
  const who = booking.name ? ` for ${booking.name}` : '';
  return `${state}${who}, ${formatDate(booking.from + NOON)} to ${formatDate(booking.to - NOON)}.`;
}
