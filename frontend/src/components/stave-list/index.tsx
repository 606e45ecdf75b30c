import './style.css';
import { type ComponentChildren, createContext, toChildArray } from 'preact';
import { useMemo } from 'preact/hooks';
import { bendOf } from '../draw/stave-shape.ts';
import { useGrowing } from '../near/growing.ts';
import { windowHeight } from '../near/index.ts';

/** What the style sheet reserves for a row. */
const ROW_PX = 112;
/** About what stands over a screen’s list and at its foot together. */
const AROUND_PX = 240;
const MORE_ROWS = 32;

export interface Bends {
  top: number;
  bottom: number;
  isLast: boolean;
  /** Rows of a list are its items; a row on its own is not. */
  inList: boolean;
  /** Its picture may be drawn after its words. */
  isFar: boolean;
}

/** Tells a row how the joints over and under it bow. */
export const BendContext = createContext<Bends>({
  top: 1,
  bottom: 0.6,
  isLast: false,
  inList: false,
  isFar: false,
});

export interface StaveListProps {
  label?: string;
  as?: 'ul' | 'ol';
  /** Another list stands over it: no window shows it first. */
  isBelow?: boolean;
  children: ComponentChildren;
}

/** A list whose joints bow as a barrel's side does. */
export function StaveList({ label, as: List = 'ul', isBelow = false, children }: StaveListProps) {
  const rows = toChildArray(children);
  const shown = useGrowing(rows.length, Math.ceil(windowHeight() / ROW_PX), MORE_ROWS);
  const near = isBelow ? 0 : Math.ceil((windowHeight() - AROUND_PX) / ROW_PX);
  // The same objects as long as they say the same: a row whose joints stay is not drawn again for them.
  const bends = useMemo(() => bendsOf(rows.length, near), [rows.length, near]);
  return (
    <List class="stave-list" aria-label={label}>
      {rows.slice(0, shown).map((row, i) => (
        <BendContext.Provider key={typeof row === 'object' ? (row.key ?? i) : i} value={bends[i]!}>
          {row}
        </BendContext.Provider>
      ))}
    </List>
  );
}

function bendsOf(rows: number, near: number): Bends[] {
  return Array.from({ length: rows }, (_, i) => ({
    top: bendOf(i, rows),
    bottom: bendOf(i + 1, rows),
    isLast: i === rows - 1,
    inList: true,
    isFar: i >= near,
  }));
}
