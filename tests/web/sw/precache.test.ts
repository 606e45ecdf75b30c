import { expect, test } from 'vitest';
import { laterOf, NOT_THE_APP, shellOf } from '~/sw/precache.ts';

const manifest = [
  { url: 'index.html', revision: 'a' },
  { url: 'assets/index-AbCd1234.js', revision: null },
  { url: 'assets/zxing_reader-AbCd1234.wasm', revision: null },
  { url: 'icons/icon-512.png', revision: 'b' },
  { url: 'icons/icon.svg', revision: 'c' },
];

test('the shell holds what the app needs to start, and not the heavy decoder', () => {
  expect(shellOf(manifest).map(({ url }) => url)).toEqual([
    'index.html',
    'assets/index-AbCd1234.js',
    'icons/icon.svg',
  ]);
  expect(laterOf(manifest)).toEqual(['/assets/zxing_reader-AbCd1234.wasm']);
});

test.each([
  '/api/v1/me',
  '/_allauth/browser/v1/auth/session',
  '/accounts/login/',
  '/static/admin/base.css',
  '/sw.js',
])('the address %s is the server’s own', (path) => {
  expect(NOT_THE_APP.some((rule) => rule.test(path))).toBe(true);
});

test.each(['/', '/t/NEAPSX', '/barrels', '/barrels/0190c1d2-0000-7000-8000-000000000000'])(
  'the address %s opens the app',
  (path) => {
    expect(NOT_THE_APP.some((rule) => rule.test(path))).toBe(false);
  },
);
