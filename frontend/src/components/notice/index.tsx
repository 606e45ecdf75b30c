import './style.css';
import type { ComponentChildren } from 'preact';

export interface NoticeProps {
  tone?: 'plain' | 'red' | 'ok';
  children: ComponentChildren;
  /** Something to press behind the words. */
  act?: ComponentChildren;
}

/** One proud line: what happened, what is safe, what to do. */
export function Notice({ tone = 'plain', children, act }: NoticeProps) {
  return (
    <div class={`notice notice--${tone}`} role={tone === 'red' ? 'alert' : undefined}>
      <div class="notice__words">{children}</div>
      {act && <div class="notice__act">{act}</div>}
    </div>
  );
}
