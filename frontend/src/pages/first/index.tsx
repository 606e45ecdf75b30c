import { useEffect } from 'preact/hooks';
import { pageServed } from '~/sync/page-first.ts';
import { late } from '../parts/late.ts';
import { myRole } from '../parts/me.ts';
import { MemberFirst } from './member.tsx';

const KeeperFirst = late(() => import('./keeper.tsx'));
const Report = late(() => import('../report/index.tsx'));

/** What is opened from here most often, fetched while nobody waits for it; one that fails is fetched when it is opened. */
async function fetchAhead(): Promise<void> {
  await pageServed();
  await Promise.allSettled([
    import('../walk/index.tsx'),
    import('../barrel/index.tsx'),
    import('../taste/index.tsx'),
    import('../scan/index.tsx'),
  ]);
}

/** Each role opens on its own main matter. */
export function First() {
  useEffect(() => void fetchAhead(), []);
  const role = myRole();
  if (role === 'admin') return <Report />;
  if (role === 'keeper') return <KeeperFirst />;
  return <MemberFirst />;
}
