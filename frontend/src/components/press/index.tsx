import './style.css';
import type { ComponentChildren } from 'preact';
import { once } from './once.ts';

export interface PressProps {
  children: ComponentChildren;
  onPress?: () => void;
  href?: string;
  tone?: 'plain' | 'go' | 'red';
  /** A choice that is made: lamp, with a tick. */
  chosen?: boolean;
  type?: 'button' | 'submit';
  disabled?: boolean;
  full?: boolean;
  /** Shown instead while the act is on its way; the plank then does not answer. */
  busy?: string | undefined;
  describedBy?: string;
}

/** A plank to press. Fires on release inside; a second tap within 400 ms is ignored. */
export function Press({
  children,
  onPress,
  href,
  tone,
  chosen,
  type,
  disabled,
  full,
  busy,
  describedBy,
}: PressProps) {
  const name = [
    'press',
    tone && tone !== 'plain' && `press--${tone}`,
    chosen && 'press--chosen',
    full && 'press--full',
  ]
    .filter(Boolean)
    .join(' ');
  const words = <span class={chosen ? 'tick' : undefined}>{busy ?? children}</span>;
  if (href !== undefined) {
    return (
      <a class={name} href={href} aria-describedby={describedBy}>
        {words}
      </a>
    );
  }
  return (
    <button
      type={type ?? 'button'}
      class={name}
      disabled={disabled}
      aria-disabled={busy ? true : undefined}
      aria-pressed={chosen}
      aria-describedby={describedBy}
      onClick={type === 'submit' ? undefined : once(busy ? undefined : onPress)}
    >
      {words}
    </button>
  );
}
