import './styles/tokens.css';
import './styles/base.css';
import { render } from 'preact';
import { App } from './app.tsx';
import { startTheme } from './components/theme/index.ts';
import { startSync } from './sync/start.ts';
import { startUpdates } from './sync/update.ts';

startTheme();
startSync();
startUpdates();
const root = document.getElementById('app');
if (root) render(<App />, root);
