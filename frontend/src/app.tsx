import { useEffect, useState } from 'preact/hooks';
import { ErrorBoundary, LocationProvider, lazy, Route, Router, useLocation } from 'preact-iso';
import { isHere, session } from './api/session.ts';
import { Defs } from './components/defs/index.tsx';
import { Loading } from './components/loading/index.tsx';
import { Screen } from './components/screen/index.tsx';
import { Broken } from './pages/parts/broken.tsx';
import { Lines } from './pages/parts/lines.tsx';
import { NotFound } from './pages/parts/not-found.tsx';
import { routes } from './routes.ts';

const SignIn = lazy(() => import('./pages/sign-in/index.tsx'));
const ChooseClub = lazy(() => import('./pages/choose-club/index.tsx'));

/** Screens begin at their top; going back is the browser's own. */
function ScrollToTop() {
  const { path } = useLocation();
  useEffect(() => scrollTo(0, 0), [path]);
  return null;
}

function Rooms() {
  const { path } = useLocation();
  const { state, persons } = session.value;
  if (state === 'starting') {
    return (
      <Screen title="Staveward" heading="Staveward">
        <Loading />
      </Screen>
    );
  }
  // A mail's link leads to the door, whoever is signed in on this device.
  if (path.startsWith('/account/') || (!isHere.value && persons.length === 0)) return <SignIn />;
  if (!isHere.value) return <ChooseClub />;
  return (
    <>
      <Lines />
      <ScrollToTop />
      <Router>
        {routes.map(({ path, page }) => (
          <Route key={path} path={path} component={page} />
        ))}
        <Route default component={NotFound} />
      </Router>
    </>
  );
}

/** What fails in one screen must not leave a blank one; another address tries anew. */
function Guarded() {
  const { path } = useLocation();
  const [brokenAt, setBrokenAt] = useState<string | null>(null);
  if (brokenAt === path) return <Broken />;
  return (
    <ErrorBoundary onError={() => setBrokenAt(path)}>
      <Rooms />
    </ErrorBoundary>
  );
}

export function App() {
  return (
    <>
      <Defs />
      <LocationProvider>
        <Guarded />
      </LocationProvider>
    </>
  );
}
