/** One tab at a time sends and pulls for a club; the others only read what it stores. */

/** Runs `task` once this tab leads. The lead passes on when the task ends or the tab closes. */
export async function lead(name: string, task: () => Promise<void>, signal: AbortSignal): Promise<void> {
  if (signal.aborted) return;
  const locks = globalThis.navigator?.locks;
  // Without locks (an old browser, a page not served securely) two tabs may both work: every write is named by its
  // id, so that costs a request and no more.
  if (!locks) return task();
  try {
    await locks.request(`staveward-leads-${name}`, { signal }, task);
  } catch (error) {
    if (!signal.aborted) throw error;
  }
}
