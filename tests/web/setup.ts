import 'fake-indexeddb/auto';
import { cleanup } from '@testing-library/preact';
import { afterEach } from 'vitest';

// jsdom knows the dialog element but not how to open it.
if (typeof HTMLDialogElement !== 'undefined' && !HTMLDialogElement.prototype.showModal) {
  HTMLDialogElement.prototype.showModal = function showModal() {
    this.setAttribute('open', '');
  };
  HTMLDialogElement.prototype.close = function close() {
    this.removeAttribute('open');
  };
}

afterEach(() => cleanup());
