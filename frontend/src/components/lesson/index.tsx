import './style.css';
import type { ComponentChildren } from 'preact';
import { useEffect, useState } from 'preact/hooks';

export interface LessonProps {
  /** Names the lesson on this device, to count its uses. */
  id: string;
  what: string;
  why: string;
  how: string;
  drawing?: ComponentChildren;
}

const FOLD_AFTER = 2;

function usesOf(id: string): number {
  try {
    return Number(localStorage.getItem(`staveward.lesson.${id}`) ?? 0) || 0;
  } catch {
    return 0;
  }
}

/** What, why and how in three lines; after two uses it folds to its first line. */
export function Lesson({ id, what, why, how, drawing }: LessonProps) {
  const [wasUsed] = useState(() => usesOf(id));
  useEffect(() => {
    try {
      localStorage.setItem(`staveward.lesson.${id}`, String(wasUsed + 1));
    } catch {
      // Without storage the lesson stays open, which harms nobody.
    }
  }, [id, wasUsed]);
  return (
    <details class="lesson" open={wasUsed < FOLD_AFTER}>
      <summary class="lesson__what">{what}</summary>
      <div class="lesson__body">
        {drawing && <div class="lesson__drawing">{drawing}</div>}
        <div>
          <p class="note">{why}</p>
          <p class="note ink">{how}</p>
        </div>
      </div>
    </details>
  );
}
