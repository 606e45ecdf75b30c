import { render, screen } from '@testing-library/preact';
import { beforeEach, describe, expect, test } from 'vitest';
import { countUse, FOLD_AFTER } from '~/components/lesson/uses.ts';
import { RollDrawing } from '~/pages/lessons/roll.tsx';
import { LessonFor } from '~/pages/parts/lesson-for.tsx';
import { LESSON_NAMES, lessonFor } from '~/pages/words/lessons.ts';
import { practised, TAUGHT_BY, TAUGHT_BY_KIND, TAUGHT_BY_TASK } from '~/pages/words/practised.ts';

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
    expect(practised('voids', {})).toEqual([]);
  });

  test('is practised by what an entry is, not only by where it goes', () => {
    expect(practised('holds', {})).toEqual(['hold']);
    expect(practised('holds', { is_solution: true })).toEqual(['solution']);
    expect(practised('readings', { kind: 'so2_strip' })).toEqual(['strip']);
    expect(practised('readings', { kind: 'climate' })).toEqual([]);
    expect(practised('tendings', { tasks: ['top_up'] })).toEqual(['top-up']);
    expect(practised('tendings', { tasks: ['water_change'] })).toEqual(['water-change']);
    expect(practised('tendings', { tasks: ['leak_check'], joints: [{}] })).toEqual(['look', 'joint']);
    expect(practised('barrels', { nominal_l: 5 })).toEqual(['adopt']);
    expect(practised('barrels', { nominal_l: 5, outside_length_cm: 30 })).toEqual(['adopt', 'measure']);
  });

  test('is counted by names that the service knows', () => {
    const file = Object.values(
      import.meta.glob('../../../backend/openapi.json', { eager: true, import: 'default' }),
    )[0] as { paths: object; components: { schemas: Record<string, { enum: string[] }> } };
    const { TendingTask, ReadingKind } = file.components.schemas;
    expect(TendingTask?.enum).toEqual(expect.arrayContaining(Object.keys(TAUGHT_BY_TASK)));
    expect(ReadingKind?.enum).toEqual(expect.arrayContaining(Object.keys(TAUGHT_BY_KIND)));
    const collections = Object.keys(file.paths).map((path) => path.split('/')[5]);
    expect(collections).toEqual(expect.arrayContaining(Object.keys(TAUGHT_BY)));
  });

  test('each but the walk is practised by some entry', () => {
    const taught = [TAUGHT_BY, TAUGHT_BY_KIND, TAUGHT_BY_TASK].flatMap((by) => Object.values(by).flat());
    const practice = new Set([...taught, 'hold', 'solution', 'joint', 'measure']);
    expect(LESSON_NAMES.filter((name) => !practice.has(name))).toEqual(['walk']);
  });
});
