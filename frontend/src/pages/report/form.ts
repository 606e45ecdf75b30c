/** Which form of the report is drawn: the table on a desk and on paper, staves on a phone; never both. */

import { type ReadonlySignal, signal } from '@preact/signals';
import { options } from 'preact';

const wide = matchMedia('(min-width: 1000px), print');

const current = signal(wide.matches);
export const isTable: ReadonlySignal<boolean> = current;

/** Draws at once: a browser takes its page for the printer as soon as the listeners have returned. */
function drawNow(table: boolean): void {
  const usual = options.debounceRendering;
  options.debounceRendering = (draw) => draw();
  current.value = table;
  if (usual) options.debounceRendering = usual;
  else delete options.debounceRendering;
}

wide.addEventListener('change', () => drawNow(wide.matches));
addEventListener('beforeprint', () => drawNow(true));
addEventListener('afterprint', () => drawNow(wide.matches));
