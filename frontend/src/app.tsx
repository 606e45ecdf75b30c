import { ErrorBoundary, LocationProvider, Route, Router } from 'preact-iso';
import { Defs } from './components/defs/index.tsx';
import { routes } from './routes.ts';

export function App() {
  return (
    <LocationProvider>
      <Defs />
      <ErrorBoundary>
        <Router>
          {routes.map(({ path, page }) => (
            <Route key={path} path={path} component={page} />
          ))}
        </Router>
      </ErrorBoundary>
    </LocationProvider>
  );
}
