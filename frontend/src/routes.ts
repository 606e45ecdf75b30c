import { lazy } from 'preact-iso';

/** Each screen is its own chunk but the first one, so that the first load stays small. */
export const routes = [{ path: '/', page: lazy(() => import('./pages/first/index.tsx')) }] as const;
