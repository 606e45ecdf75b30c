/** How often a person has done what a lesson teaches, counted on this device. */

import { session } from '~/api/session.ts';

/** Whoever has done a thing so often knows it. */
export const FOLD_AFTER = 2;

function keyOf(name: string): string {
  return `staveward.lesson.${session.peek().person?.id ?? ''}.${name}`;
}

export function usesOf(name: string): number {
  try {
    return Number(localStorage.getItem(keyOf(name)) ?? 0) || 0;
  } catch {
    return 0;
  }
}

/** Counts one deed. Without storage the lesson stays open, which harms nobody. */
export function countUse(name: string): void {
  const uses = usesOf(name);
  // More than folds it is of no use to anybody.
  if (uses >= FOLD_AFTER) return;
  try {
    localStorage.setItem(keyOf(name), String(uses + 1));
  } catch {
    // See above.
  }
}

export function isLearnt(name: string): boolean {
  return usesOf(name) >= FOLD_AFTER;
}
