import './lines.css';
import { useLocation } from 'preact-iso';
import { Notice } from '~/components/notice/index.tsx';
import { storageTrouble, syncStatus, unsentCount } from '~/sync/status.ts';
import { applyUpdate, updateReady } from '~/sync/update.ts';

const STORAGE: Record<string, string> = {
  may_be_cleared: 'This browser may clear what waits here. Install the app, or send before you close it.',
  full: 'This phone is full. New entries cannot be kept until there is room.',
  unavailable: 'This browser keeps nothing for this site. An entry needs signal to be kept.',
  newer_version_open: 'A newer version is open in another tab. Close this one.',
};

/** Screens that hold something half said: a new version waits until they are left. */
const FORMS = /\/(taste|\d{3}|pull|decant|bottle|trouble|reserve|members|not-yet-sent)$/;

/** What the whole app has to say: one quiet line over the screen, never over a form. */
export function Lines() {
  const { path } = useLocation();
  const trouble = storageTrouble.value;
  const problem = syncStatus.value.problem;
  const offersUpdate = updateReady.value && !FORMS.test(path);
  const isMild = trouble === 'may_be_cleared';
  const warns = trouble !== null && (!isMild || (path === '/not-yet-sent' && unsentCount.value > 0));
  if (!warns && !offersUpdate && !problem) return null;
  return (
    <aside class="lines noprint" aria-label="About this app">
      {warns && trouble && <Notice tone={isMild ? 'plain' : 'red'}>{STORAGE[trouble]}</Notice>}
      {problem && <Notice>{problem.detail}</Notice>}
      {offersUpdate && (
        <p class="lines__quiet note">
          A new version is here.{' '}
          <button type="button" class="link" onClick={() => applyUpdate()}>
            Take it now
          </button>
        </p>
      )}
    </aside>
  );
}
