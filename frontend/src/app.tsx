import { ErrorBoundary, LocationProvider, Route, Router } from 'preact-iso';
import { routes } from './routes.ts';

export function App() {
  return (
    <LocationProvider>
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
