import 'fake-indexeddb/auto';
import { cleanup } from '@testing-library/preact';
import { afterEach, beforeAll } from 'vitest';

// jsdom knows the dialog element but not how to open it.
if (typeof HTMLDialogElement !== 'undefined' && !HTMLDialogElement.prototype.showModal) {
  HTMLDialogElement.prototype.showModal = function showModal() {
    this.setAttribute('open', '');
  };
  HTMLDialogElement.prototype.close = function close() {
    this.removeAttribute('open');
  };
}

// Nor does it lay anything out to scroll in.
globalThis.scrollTo = () => undefined;

// The files share a browser, but not what was kept in it.
beforeAll(() => localStorage.clear());
afterEach(() => cleanup());
