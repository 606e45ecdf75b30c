import { signal } from '@preact/signals';

/** "system" follows the device; the other two are this device's own choice. */
export type Theme = 'system' | 'dark' | 'light';

const KEY = 'staveward.theme';

export const theme = signal<Theme>('system');

function show(choice: Theme): void {
  const root = document.documentElement;
  if (choice === 'system') delete root.dataset.theme;
  else root.dataset.theme = choice;
}

/** Shows what this device chose before. Called once, before the first picture. */
export function startTheme(): void {
  let kept: string | null = null;
  try {
    kept = localStorage.getItem(KEY);
  } catch {
    // A browser that refuses storage still gets the system's theme.
  }
  theme.value = kept === 'dark' || kept === 'light' ? kept : 'system';
  show(theme.value);
}

/** Changes the theme and keeps the choice on this device. */
export function setTheme(choice: Theme): void {
  theme.value = choice;
  show(choice);
  try {
    if (choice === 'system') localStorage.removeItem(KEY);
    else localStorage.setItem(KEY, choice);
  } catch {
    // The choice then holds until the page is closed.
  }
}
