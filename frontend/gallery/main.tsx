import '~/styles/tokens.css';
import '~/styles/base.css';
import { render, type VNode } from 'preact';
import { Defs } from '~/components/defs/index.tsx';
import { startTheme } from '~/components/theme/index.ts';
import { sheets } from './sheets.tsx';

/** For development only: every component, one sheet at a time. ?sheet=NAME&theme=dark|light&text=200 */
const query = new URLSearchParams(location.search);
const text = query.get('text');
startTheme();
const shown = query.get('theme');
if (shown) document.documentElement.dataset.theme = shown;
if (text) document.documentElement.style.fontSize = `${text}%`;

function Index(): VNode {
  return (
    <ul>
      {Object.keys(sheets).map((name) => (
        <li key={name}>
          <a class="link" href={`?sheet=${name}`}>
            {name}
          </a>
        </li>
      ))}
    </ul>
  );
}

const Sheet = sheets[query.get('sheet') ?? ''] ?? Index;
const root = document.getElementById('app');
if (root)
  render(
    <>
      <Defs />
      <Sheet />
    </>,
    root,
  );
