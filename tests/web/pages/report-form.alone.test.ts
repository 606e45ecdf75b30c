import { afterEach, beforeEach, expect, test, vi } from 'vitest';

let matches = false;
let changed: () => void = () => {};

beforeEach(() => {
  matches = false;
  vi.resetModules();
  vi.stubGlobal('matchMedia', () => ({
    get matches() {
      return matches;
    },
    addEventListener: (_name: string, heard: () => void) => {
      changed = heard;
    },
  }));
});

afterEach(() => vi.unstubAllGlobals());

async function drawn() {
  const { h, render } = await import('preact');
  await import('@preact/signals');
  const { isTable } = await import('../../../frontend/src/pages/report/form.ts');
  const root = document.createElement('div');
  const Form = () => h('p', null, isTable.value ? 'table' : 'staves');
  render(h(Form, null), root);
  return () => root.textContent;
}

test('a phone draws staves, and the table when the window grows', async () => {
  const form = await drawn();
  expect(form()).toBe('staves');
  matches = true;
  changed();
  expect(form()).toBe('table');
});

test('paper takes the table, drawn before the printer looks, and the phone goes back to its staves', async () => {
  const form = await drawn();
  dispatchEvent(new Event('beforeprint'));
  expect(form()).toBe('table');
  dispatchEvent(new Event('afterprint'));
  expect(form()).toBe('staves');
});
