import { plainNumber, rangeText } from '../range/format.ts';

/** What hangs at a joint while a barrel is curing. */
export interface Bead {
  /** Degrees clockwise from the top of the picture. */
  at: number;
  /** How much weeps there; sets the drop's size. */
  mlPerDay: number;
  /** Wiped, and still dry. */
  dry?: boolean;
}

export interface PictureSharer {
  initials: string;
  weight: number;
  you?: boolean;
}

/** Everything that the picture of a barrel, and the sentence read aloud for it, are made from. */
export interface BarrelPicture {
  name: string;
  /** The tag's code: it seeds the widths of the staves, so that each barrel keeps its own face. */
  tag: string;
  capacityL: number;
  contents: 'spirit' | 'pale' | 'water' | 'empty';
  /** Depth of the liquid over the bung diameter, 0 to 1: the true height, not the share of the volume. */
  levelLow?: number;
  levelHigh?: number;
  volumeLowL?: number;
  volumeHighL?: number;
  /** Wet hold: shows the half mark. */
  hold?: boolean;
  /** Where the bung points, as on a clock; 12 is up. */
  bungClock?: number;
  staveCount?: number;
  /** Stave thickness over bung diameter. */
  staveFraction?: number;
  /** Share of the wood's life that is used, 0 to 1; 1 is spent. */
  woodUsedLow?: number;
  woodUsedHigh?: number;
  /** "wood for one to three more fills" */
  woodWords?: string;
  /** "will not seal" */
  wrong?: string;
  beads?: Bead[];
  sharers?: PictureSharer[];
  quarantine?: boolean;
  /** A private fill seen by someone outside it: outline and level only. */
  isPrivate?: boolean;
}

/** One scale for all barrels of a list: the radius grows with the cube root of what they hold; 5 L is 33 px. */
export function radiusFor(capacityL: number, scale = 1): number {
  const size = 33 * Math.cbrt(Math.max(0.5, capacityL) / 5);
  return Math.round(Math.min(60, Math.max(18, size)) * scale * 10) / 10;
}

/** The level where the line is drawn: midway in its range. */
export function levelMiddle(barrel: BarrelPicture): number | undefined {
  if (barrel.contents === 'empty') return undefined;
  const { levelLow, levelHigh } = barrel;
  if (levelLow === undefined && levelHigh === undefined) return undefined;
  return ((levelLow ?? levelHigh ?? 0) + (levelHigh ?? levelLow ?? 0)) / 2;
}

const inRange = (level: number): number => Math.min(1, Math.max(0, level));

/** Heights in the drawing, measured downwards from the centre, for an inner radius. */
export function levelHeights(
  barrel: BarrelPicture,
  radius: number,
): { upper: number; line: number; lower: number } | undefined {
  const middle = levelMiddle(barrel);
  if (middle === undefined) return undefined;
  const y = (level: number): number => radius * (1 - 2 * inRange(level));
  const lower = y(Math.min(barrel.levelLow ?? middle, barrel.levelHigh ?? middle));
  const upper = y(Math.max(barrel.levelLow ?? middle, barrel.levelHigh ?? middle));
  return { upper, line: y(middle), lower };
}

/** How thick the staves are drawn for an inner radius. */
export function staveThickness(barrel: BarrelPicture, radius: number): number {
  const fraction = Math.min(0.2, Math.max(0.05, barrel.staveFraction ?? 0.1));
  return 2 * radius * fraction;
}

function liquidWords(barrel: BarrelPicture): string {
  if (barrel.contents === 'empty') return 'empty';
  const capacity = plainNumber(barrel.capacityL);
  const of = `of ${capacity} ${capacity === '1' ? 'litre' : 'litres'}`;
  const what = barrel.contents === 'water' ? ' of water' : '';
  if (barrel.volumeLowL === undefined || barrel.volumeHighL === undefined) {
    return barrel.contents === 'water' ? 'holding water' : 'filled';
  }
  const amount = rangeText({ low: barrel.volumeLowL, high: barrel.volumeHighL, unit: '' });
  return `${amount} ${of}${what}`;
}

function halfMarkWords(barrel: BarrelPicture): string | undefined {
  if (!barrel.hold || barrel.contents === 'empty') return undefined;
  if (barrel.levelHigh !== undefined && barrel.levelHigh < 0.49) return 'below the half mark';
  if (barrel.levelLow !== undefined && barrel.levelLow > 0.51) return 'above the half mark';
  return 'about at the half mark';
}

/** The sentence read aloud for the picture: name, position, contents, what is wrong, wood left. */
export function describeBarrel(barrel: BarrelPicture): string {
  const clock = barrel.bungClock ?? 12;
  const position = clock === 12 ? 'lying bung up' : `lying with the bung at ${clock} o’clock`;
  const beads = barrel.beads?.filter((bead) => !bead.dry).length ?? 0;
  const parts = [
    `${barrel.name}, ${position}`,
    liquidWords(barrel),
    halfMarkWords(barrel),
    barrel.isPrivate ? 'a private fill' : undefined,
    barrel.wrong,
    barrel.quarantine ? 'in quarantine' : undefined,
    beads > 0 ? `beads at ${beads === 1 ? 'one joint' : `${beads} joints`}` : undefined,
    barrel.woodWords,
  ];
  return `${parts.filter((part) => part).join(', ')}.`;
}
