/** A long list is begun with what a window can show; the rest follows frame by frame, and nobody waits for it. */

import { useEffect, useState } from 'preact/hooks';

/** Says how many of so many are drawn by now. What has been drawn once stays. */
export function useGrowing(total: number, first: number, step: number): number {
  const [count, setCount] = useState(first);
  // An effect runs when its frame is on the screen.
  useEffect(() => {
    if (count < total) setCount(count + step);
  }, [count, total, step]);
  return Math.min(count, total);
}
