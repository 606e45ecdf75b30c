import type { ComponentChildren } from 'preact';
import { Empty } from '~/components/empty/index.tsx';
import { Loading } from '~/components/loading/index.tsx';
import { syncStatus } from '~/sync/status.ts';
import { isFirstLoad } from './first-load.ts';

export const UNREAD = 'This phone has not read the club yet. It needs signal once.';

/** Words for a room with nothing in it; a phone that never read the club says that instead of claiming it. */
export function EmptyRoom({ children }: { children: ComponentChildren }) {
  if (isFirstLoad()) return <Loading />;
  return <Empty>{syncStatus.value.first_load ? <p>{UNREAD}</p> : children}</Empty>;
}
