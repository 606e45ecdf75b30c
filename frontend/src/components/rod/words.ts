/** The anchors of the liking scale. */
export const ANCHORS: Record<0 | 5 | 10, string> = {
  0: 'dislike extremely',
  5: 'neither',
  10: 'like extremely',
};

const steps: [least: number, words: string][] = [
  [9.75, 'like extremely'],
  [8.25, 'like it very much'],
  [6.75, 'like it'],
  [5.25, 'like it a little'],
  [4.75, 'neither'],
  [3.25, 'dislike it a little'],
  [1.75, 'dislike it'],
  [0.25, 'dislike it very much'],
  [0, 'dislike extremely'],
];

/** What a score says, in words. */
export function scoreWord(score: number): string {
  return steps.find(([least]) => score >= least)?.[1] ?? ANCHORS[0];
}

/** The nearest half step on the rod. */
export function halfStep(score: number): number {
  return Math.min(10, Math.max(0, Math.round(score * 2) / 2));
}

/** 7.5, and 7 without a needless decimal. */
export function scoreText(score: number): string {
  return Number.isInteger(score) ? String(score) : String(Math.round(score * 10) / 10);
}
