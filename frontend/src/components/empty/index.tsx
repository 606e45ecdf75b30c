import './style.css';
import type { ComponentChildren } from 'preact';
import type { BarrelPicture } from '../draw/picture.ts';
import { EndView } from '../end-view/index.tsx';

const bare: BarrelPicture = { name: 'No barrel', tag: 'BARE', capacityL: 5, contents: 'empty' };

export interface EmptyProps {
  /** Another picture than a bare ring. */
  picture?: ComponentChildren;
  /** One sentence, and the act. */
  children: ComponentChildren;
}

/** Nothing here yet: a bare ring, one sentence and the act. */
export function Empty({ picture, children }: EmptyProps) {
  return (
    <div class="empty">
      {picture ?? <EndView barrel={bare} radius={44} decorative />}
      <div class="empty__words">{children}</div>
    </div>
  );
}
