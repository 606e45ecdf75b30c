/** A part of a long list is drawn again only when what it shows has changed. */

import type { VNode } from 'preact';
import { useMemo } from 'preact/hooks';

export interface SameProps {
  /** What it is drawn from; as many as ever. */
  of: readonly unknown[];
  draw: () => VNode;
}

export function Same({ of, draw }: SameProps): VNode {
  return useMemo(draw, of);
}
