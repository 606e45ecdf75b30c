import './style.css';
import { type ComponentChildren, createContext, toChildArray } from 'preact';
import { bendOf } from '../draw/stave-shape.ts';
import { useGrowing } from '../near/growing.ts';

/** More than the tallest window shows of them. */
const FIRST_ROWS = 16;
const MORE_ROWS = 32;

export interface Bends {
  top: number;
  bottom: number;
  isLast: boolean;
  /** Rows of a list are its items; a row on its own is not. */
  inList: boolean;
}

/** Tells a row how the joints over and under it bow. */
export const BendContext = createContext<Bends>({ top: 1, bottom: 0.6, isLast: false, inList: false });

export interface StaveListProps {
  label?: string;
  as?: 'ul' | 'ol';
  children: ComponentChildren;
}

/** A list whose joints bow as a barrel's side does. */
export function StaveList({ label, as: List = 'ul', children }: StaveListProps) {
  const rows = toChildArray(children);
  const shown = useGrowing(rows.length, FIRST_ROWS, MORE_ROWS);
  return (
    <List class="stave-list" aria-label={label}>
      {rows.slice(0, shown).map((row, i) => (
        <BendContext.Provider
          key={typeof row === 'object' ? (row.key ?? i) : i}
          value={{
            top: bendOf(i, rows.length),
            bottom: bendOf(i + 1, rows.length),
            isLast: i === rows.length - 1,
            inList: true,
          }}
        >
          {row}
        </BendContext.Provider>
      ))}
    </List>
  );
}
