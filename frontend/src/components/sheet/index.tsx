import './style.css';
import type { ComponentChildren } from 'preact';
import { useEffect, useId, useRef } from 'preact/hooks';
import { once } from '../press/once.ts';

export interface SheetProps {
  open: boolean;
  onClose: () => void;
  title: string;
  closeLabel?: string;
  children: ComponentChildren;
}

/** A sheet that rises from the sill. The browser's own dialog keeps the focus inside it; Esc or its own plank closes it. */
export function Sheet({ open, onClose, title, closeLabel = 'Close', children }: SheetProps) {
  const dialog = useRef<HTMLDialogElement>(null);
  const titleId = useId();
  const shown = useRef<Element | null>(null);
  // "Done" takes over what was typed: a figure that is none is shown first, and left behind by a second press.
  const close = (): void => {
    const wrong = dialog.current?.querySelector<HTMLElement>('[aria-invalid="true"]');
    if (closeLabel === 'Done' && wrong && wrong !== shown.current) {
      shown.current = wrong;
      wrong.focus();
    } else onClose();
  };
  useEffect(() => {
    const element = dialog.current;
    if (!element || !open || element.open) return undefined;
    const cameFrom = document.activeElement instanceof HTMLElement ? document.activeElement : undefined;
    element.showModal();
    return () => {
      if (element.open) element.close();
      cameFrom?.focus();
    };
  }, [open]);
  if (!open) return null;
  return (
    // biome-ignore lint/a11y/useKeyWithClickEvents: a tap beside the sheet; Esc and its plank do the same by key
    <dialog
      ref={dialog}
      class="sheet"
      aria-labelledby={titleId}
      onCancel={(event) => {
        event.preventDefault();
        onClose();
      }}
      onClick={(event) => {
        if (event.target === dialog.current) onClose();
      }}
    >
      <div class="sheet__board">
        <div class="sheet__curve" aria-hidden="true" />
        <h2 id={titleId} class="sheet__title title">
          {title}
        </h2>
        <div class="sheet__body">{children}</div>
        <button type="button" class="sheet__close" onClick={once(close)}>
          {closeLabel}
        </button>
      </div>
    </dialog>
  );
}
