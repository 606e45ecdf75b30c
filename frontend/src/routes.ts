import { lazy } from 'preact-iso';
import { First } from './pages/first/index.tsx';

/** Each screen is its own chunk but the first one, so that the first load stays small. */
export const routes = [
  { path: '/', page: First },
  { path: '/barrels', page: lazy(() => import('./pages/barrels/index.tsx')) },
  { path: '/barrels/:id', page: lazy(() => import('./pages/barrel/index.tsx')) },
  { path: '/barrels/:id/log', page: lazy(() => import('./pages/log/index.tsx')) },
  { path: '/barrels/:id/taste', page: lazy(() => import('./pages/taste/index.tsx')) },
  { path: '/barrels/:id/trouble', page: lazy(() => import('./pages/trouble/index.tsx')) },
  { path: '/scan', page: lazy(() => import('./pages/scan/index.tsx')) },
  { path: '/t/:code', page: lazy(() => import('./pages/tag/index.tsx')) },
  { path: '/reserve', page: lazy(() => import('./pages/reserve/index.tsx')) },
  { path: '/reservations', page: lazy(() => import('./pages/reservations/index.tsx')) },
  { path: '/walk', page: lazy(() => import('./pages/walk/index.tsx')) },
  { path: '/report', page: lazy(() => import('./pages/report/index.tsx')) },
  { path: '/needs-the-keeper', page: lazy(() => import('./pages/needs-the-keeper/index.tsx')) },
  { path: '/not-yet-sent', page: lazy(() => import('./pages/not-yet-sent/index.tsx')) },
  { path: '/mine', page: lazy(() => import('./pages/mine/index.tsx')) },
  { path: '/members', page: lazy(() => import('./pages/members/index.tsx')) },
] as const;

/** What a member opens with no signal is fetched in the background once the first screen stands. */
export function fetchTheRest(): void {
  for (const { page } of routes) {
    if ('preload' in page) void (page as { preload(): Promise<unknown> }).preload().catch(() => {});
  }
}
