import './style.css';
import type { ComponentChildren } from 'preact';
import { useEffect, useLayoutEffect, useRef } from 'preact/hooks';
import { Announce } from '../announce/index.tsx';

export interface ScreenProps {
  /** Names the screen in the browser's title. */
  title: string;
  /** The line over everything: where you are at the left, freshness at the right. */
  top?: { left?: ComponentChildren; back?: { href: string; label: string }; right?: ComponentChildren };
  /** Where the lamp hangs. */
  glow?: 'left' | 'right' | 'top';
  /** A heading for readers, on screens whose picture is their heading. */
  heading?: string;
  sill?: ComponentChildren;
  /** A desk's width, for tables. */
  wide?: boolean;
  /** Spoken once when it changes. */
  announce?: string;
  children: ComponentChildren;
}

let isFirstScreen = true;

/** The room: one lamp, the top line, the content and the sill at its foot. */
export function Screen({ title, top, glow = 'top', heading, sill, wide, announce, children }: ScreenProps) {
  const main = useRef<HTMLElement>(null);
  useLayoutEffect(() => {
    document.title = title === 'Staveward' ? title : `${title} · Staveward`;
  }, [title]);
  useEffect(() => {
    // After a move to another screen a reader starts at its content; on arrival the browser's own order stands.
    if (isFirstScreen) isFirstScreen = false;
    else main.current?.focus({ preventScroll: true });
  }, []);
  return (
    <div class={wide ? 'screen screen--wide' : 'screen'}>
      <div class={`screen__glow screen__glow--${glow}`} aria-hidden="true" />
      <nav class="screen__skips" aria-label="Skip">
        <a href="#content">To the content</a>
        {sill && <a href="#sill">To the acts</a>}
      </nav>
      {top && (
        <header class="screen__top note">
          <span class="screen__where">
            {top.back ? (
              <a class="screen__back" href={top.back.href}>
                <span aria-hidden="true">‹ </span>
                {top.back.label}
              </a>
            ) : (
              top.left
            )}
          </span>
          <span class="screen__state">{top.right}</span>
        </header>
      )}
      <main id="content" ref={main} tabIndex={-1} class="screen__main">
        {heading && <h1 class="sr">{heading}</h1>}
        {children}
      </main>
      <Announce message={announce} />
      {sill}
    </div>
  );
}
