/** What is far down a long list is drawn when the window comes near it. */

import type { RefObject } from 'preact';
import { useLayoutEffect, useRef, useState } from 'preact/hooks';

/** A fling of the thumb stays within it. */
const AHEAD_PX = 800;

// Asked in the middle of a drawing, it would have the page laid out.
let height_px = innerHeight;
addEventListener('resize', () => {
  height_px = innerHeight;
});
export const windowHeight = (): number => height_px;

const waiting = new Map<Element, () => void>();
let watch: IntersectionObserver | null = null;

function comeNear(element: Element): void {
  watch?.unobserve(element);
  const draw = waiting.get(element);
  waiting.delete(element);
  draw?.();
}

function observer(): IntersectionObserver {
  if (watch) return watch;
  watch = new IntersectionObserver(
    (seen) => {
      for (const one of seen) if (one.isIntersecting) comeNear(one.target);
    },
    { rootMargin: `${AHEAD_PX}px` },
  );
  // Paper has no window to come near.
  addEventListener('beforeprint', () => {
    for (const element of [...waiting.keys()]) comeNear(element);
  });
  return watch;
}

/** Says whether an element is near the window, and stays with yes. Nothing is measured: that would lay the page out. */
export function useNear<T extends Element>(isLate: boolean): { ref: RefObject<T | null>; isNear: boolean } {
  const ref = useRef<T>(null);
  const [isNear, setNear] = useState(!isLate || typeof IntersectionObserver === 'undefined');
  useLayoutEffect(() => {
    const element = ref.current;
    if (isNear || !element) return;
    waiting.set(element, () => setNear(true));
    observer().observe(element);
    return () => {
      watch?.unobserve(element);
      waiting.delete(element);
    };
  }, [isNear]);
  return { ref, isNear };
}
