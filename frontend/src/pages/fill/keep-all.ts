import { keep } from '../parts/keep.ts';
import type { fillBodies } from '../words/fill.ts';
import { nearby, type Said } from '../words/when.ts';

/** Keeps what a fill leaves, one after the other; a full phone is told after the first that did not fit. */
export async function keepAll(bodies: ReturnType<typeof fillBodies>, said: Said): Promise<string> {
  const at = (seconds: number): Said => nearby(said, seconds, Date.now());
  if (bodies.rinse) {
    const kept = await keep('tendings', { ...bodies.rinse, ...at(-2) });
    if (!kept.ok) return kept.words;
  }
  const kept = await keep('fills', { ...bodies.fill, ...at(-1) });
  if (!kept.ok) return kept.words;
  if (bodies.roll) {
    const rolled = await keep('tendings', { ...bodies.roll, ...at(0) });
    if (!rolled.ok) return rolled.words;
  }
  return '';
}
