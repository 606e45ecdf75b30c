import './style.css';
import type { ComponentChildren } from 'preact';

/** Words with the page's margin at both sides. */
export function Section({ children, class: more }: { children: ComponentChildren; class?: string }) {
  return <div class={more ? `section ${more}` : 'section'}>{children}</div>;
}
