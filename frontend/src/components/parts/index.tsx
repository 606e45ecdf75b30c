import './style.css';
import type { ComponentChildren } from 'preact';

/** A phone shows the picture over the words; a desk shows them side by side. */
export function Parts({ picture, children }: { picture: ComponentChildren; children: ComponentChildren }) {
  return (
    <div class="parts">
      <div class="parts__picture">{picture}</div>
      <div class="parts__words">{children}</div>
    </div>
  );
}
