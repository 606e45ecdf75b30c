/** What is kept for a cellar with no signal: the shell at once, heavy and rare parts in the background. */

export interface Asset {
  url: string;
  revision: string | null;
}

const LATER = /\.wasm$/;
/** Drawn by the system when the app is installed, never by a page. */
const BY_THE_SYSTEM = /^icons\/.*\.png$/;

/** Everything the app needs to start and to record: kept before the worker calls itself ready. */
export function shellOf(manifest: readonly Asset[]): Asset[] {
  return manifest.filter(({ url }) => !LATER.test(url) && !BY_THE_SYSTEM.test(url));
}

/** The camera's decoder: nearly a megabyte, wanted only where the browser cannot read a tag itself. */
export function laterOf(manifest: readonly Asset[]): string[] {
  return manifest.filter(({ url }) => LATER.test(url)).map(({ url }) => `/${url.replace(/^\//, '')}`);
}

/** Addresses that are the server's own and never the app's page. `/t/` is not among them: a tag opens the app. */
export const NOT_THE_APP = [
  /^\/api\//,
  /^\/_allauth\//,
  /^\/accounts\//,
  /^\/static\//,
  /^\/assets\//,
  /\/[^/]+\.[^/]+$/,
];

export const LATER_CACHE = 'staveward-later';
