import type { ComponentType } from 'preact';
import { lazy } from 'preact-iso';
import { pageAsks } from '~/sync/page-first.ts';
import { Broken } from './broken.tsx';

/** Long enough for a screen that has just come to be drawn and to ask what it needs. */
const DRAWN_AFTER_MS = 100;

/** A screen fetched when it is first opened; one that cannot be fetched says so instead of staying away. */
export function late(fetch: () => Promise<{ default: ComponentType }>) {
  let isAhead = false;
  const Page = lazy(async () => {
    const served = isAhead ? null : pageAsks();
    const page = await fetch().catch(() => ({ default: Broken }));
    if (served) setTimeout(served, DRAWN_AFTER_MS);
    return page;
  });
  /** Fetches it while nobody waits for it; one that fails is fetched when it is opened. */
  const fetchAhead = async (): Promise<void> => {
    await fetch();
    isAhead = true;
    await Page.preload();
  };
  return Object.assign(Page, { fetchAhead });
}
