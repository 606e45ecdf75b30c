import { late } from '../parts/late.ts';
import { myRole } from '../parts/me.ts';
import { MemberFirst } from './member.tsx';

const KeeperFirst = late(() => import('./keeper.tsx'));
const Report = late(() => import('../report/index.tsx'));

/** Each role opens on its own main matter. */
export function First() {
  const role = myRole();
  if (role === 'admin') return <Report />;
  if (role === 'keeper') return <KeeperFirst />;
  return <MemberFirst />;
}
