import './style.css';
import type { ComponentChildren } from 'preact';
import { useState } from 'preact/hooks';
import { isLearnt } from './uses.ts';

export interface LessonProps {
  /** Names the lesson on this device, so that its deeds are counted. */
  name: string;
  what: string;
  why: string;
  how: string;
  drawing: ComponentChildren;
}

/** What, why and how in three lines with a drawing; once done twice only its first line stands, to be opened. */
export function Lesson({ name, what, why, how, drawing }: LessonProps) {
  // Looked up once: a lesson does not fold under the eyes of whoever reads it.
  const [wasLearnt] = useState(() => isLearnt(name));
  return (
    <details class="lesson" open={!wasLearnt}>
      <summary class="lesson__what">{what}</summary>
      <div class="lesson__body">
        <div class="lesson__drawing">{drawing}</div>
        <div>
          <p class="note">{why}</p>
          <p class="note ink">{how}</p>
        </div>
      </div>
    </details>
  );
}
