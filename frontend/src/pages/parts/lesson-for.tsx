import type { ComponentChildren } from 'preact';
import { Lesson } from '~/components/lesson/index.tsx';
import { type LessonName, lessonFor } from '../words/lessons.ts';

/** The lesson of one act, with its drawing: `<LessonFor name="roll" drawing={<RollDrawing />} />`. */
export function LessonFor({ name, drawing }: { name: LessonName; drawing: ComponentChildren }) {
  return <Lesson name={name} {...lessonFor(name)} drawing={drawing} />;
}
