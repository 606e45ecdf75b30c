import { render, screen } from '@testing-library/preact';
import { beforeEach, describe, expect, test } from 'vitest';
import { countUse, FOLD_AFTER } from '~/components/lesson/uses.ts';
import { RollDrawing } from '~/pages/lessons/roll.tsx';
import { LessonFor } from '~/pages/parts/lesson-for.tsx';
import { LESSON_NAMES, lessonFor, practised } from '~/pages/words/lessons.ts';

beforeEach(() => localStorage.clear());

const isOpen = (): boolean =>
  (screen.getByText(lessonFor('roll').what).closest('details') as HTMLDetailsElement).open;

function shown(): boolean {
  const { unmount } = render(<LessonFor name="roll" drawing={<RollDrawing />} />);
  const open = isOpen();
  unmount();
  return open;
}

describe('a lesson', () => {
  test.each(LESSON_NAMES)('%s is three short lines, each a sentence', (name) => {
    for (const line of Object.values(lessonFor(name))) {
      expect(line.length).toBeLessThanOrEqual(80);
      expect(line).toMatch(/^[A-Z].*\.$/);
    }
  });

  test('every lesson has a drawing of its own', () => {
    const drawings = Object.keys(import.meta.glob('../../../frontend/src/pages/lessons/*.tsx'));
    const drawn = drawings.map((file) => file.replace(/^.*\/|\.tsx$/g, ''));
    expect(drawn.sort()).toEqual([...LESSON_NAMES].sort());
  });

  test('stays open however often it is read, and folds once it was done twice', () => {
    expect([shown(), shown(), shown()]).toEqual([true, true, true]);
    countUse('roll');
    expect(shown()).toBe(true);
    countUse('roll');
    expect(shown()).toBe(false);
    expect(FOLD_AFTER).toBe(2);
  });

  test('is practised by the tasks of a tending, and not by a correction', () => {
    const tasks = ['roll', 'leak_check', 'spigot_check'];
    expect(practised('tendings', { tasks })).toEqual(['roll', 'look']);
    expect(practised('tendings', { tasks, replaces: 'x' })).toEqual([]);
    expect(practised('moves', {})).toEqual([]);
  });
});
