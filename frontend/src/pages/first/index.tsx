import { useEffect } from 'preact/hooks';
import { pageServed } from '~/sync/page-first.ts';
import { late } from '../parts/late.ts';
import { myRole } from '../parts/me.ts';
import { MemberFirst } from './member.tsx';

const KeeperFirst = late(() => import('./keeper.tsx'));
const Report = late(() => import('../report/index.tsx'));

/** What is opened from here most often. */
const NEXT = ['/walk', '/barrels/:id', '/barrels/:id/taste', '/scan'];

/** Fetches it while nobody waits for it, so that a tap opens it in one step. */
async function fetchAhead(): Promise<void> {
  await pageServed();
  const { routes } = await import('~/routes.ts');
  await Promise.allSettled(
    routes.map(({ path, page }) => NEXT.includes(path) && 'fetchAhead' in page && page.fetchAhead()),
  );
}

/** Each role opens on its own main matter. */
export function First() {
  useEffect(() => void fetchAhead(), []);
  const role = myRole();
  if (role === 'admin') return <Report />;
  if (role === 'keeper') return <KeeperFirst />;
  return <MemberFirst />;
}
