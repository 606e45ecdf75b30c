import { First } from './pages/first/index.tsx';
import { late } from './pages/parts/late.ts';

/** Each screen is its own chunk but the first one, so that the first load stays small. */
export const routes = [
  { path: '/', page: First },
  { path: '/barrels', page: late(() => import('./pages/barrels/index.tsx')) },
  { path: '/barrels/:id', page: late(() => import('./pages/barrel/index.tsx')) },
  { path: '/barrels/:id/log', page: late(() => import('./pages/log/index.tsx')) },
  { path: '/barrels/:id/forecast', page: late(() => import('./pages/forecast/index.tsx')) },
  { path: '/barrels/:id/taste', page: late(() => import('./pages/taste/index.tsx')) },
  { path: '/barrels/:id/trouble', page: late(() => import('./pages/trouble/index.tsx')) },
  { path: '/barrels/:id/mix', page: late(() => import('./pages/mix/index.tsx')) },
  { path: '/barrels/:id/fill', page: late(() => import('./pages/fill/index.tsx')) },
  { path: '/recipes', page: late(() => import('./pages/recipes/index.tsx')) },
  { path: '/recipes/:id', page: late(() => import('./pages/recipe/index.tsx')) },
  { path: '/barrels/:id/curing', page: late(() => import('./pages/curing/index.tsx')) },
  { path: '/barrels/:id/hold', page: late(() => import('./pages/hold/index.tsx')) },
  { path: '/scan', page: late(() => import('./pages/scan/index.tsx')) },
  { path: '/t/:code', page: late(() => import('./pages/tag/index.tsx')) },
  { path: '/reserve', page: late(() => import('./pages/reserve/index.tsx')) },
  { path: '/reservations', page: late(() => import('./pages/reservations/index.tsx')) },
  { path: '/walk', page: late(() => import('./pages/walk/index.tsx')) },
  { path: '/report', page: late(() => import('./pages/report/index.tsx')) },
  { path: '/needs-the-keeper', page: late(() => import('./pages/needs-the-keeper/index.tsx')) },
  { path: '/not-yet-sent', page: late(() => import('./pages/not-yet-sent/index.tsx')) },
  { path: '/mine', page: late(() => import('./pages/mine/index.tsx')) },
  { path: '/members', page: late(() => import('./pages/members/index.tsx')) },
  { path: '/settings/care', page: late(() => import('./pages/care-settings/index.tsx')) },
] as const;
