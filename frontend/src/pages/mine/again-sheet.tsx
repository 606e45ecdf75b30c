import { useState } from 'preact/hooks';
import { signIn } from '~/api/session.ts';
import { Field } from '~/components/field/index.tsx';
import { Press } from '~/components/press/index.tsx';
import { Sheet } from '~/components/sheet/index.tsx';

/** The same person signs in once more; nothing that waits here is touched. */
export function AgainSheet({ email, onClose }: { email: string; onClose: () => void }) {
  const [password, setPassword] = useState('');
  const [problem, setProblem] = useState('');
  const [isBusy, setBusy] = useState(false);
  const submit = async (event: Event): Promise<void> => {
    event.preventDefault();
    if (!password || isBusy) return;
    setBusy(true);
    const answer = await signIn(email, password);
    setBusy(false);
    if (answer.ok) onClose();
    else setProblem(answer.problem.detail);
  };
  return (
    <Sheet open onClose={onClose} title="Sign in again" closeLabel="Later">
      <form class="stack" onSubmit={submit} noValidate>
        <p class="note">As {email}. Somebody else signs out first.</p>
        <Field
          label="Password"
          type="password"
          autocomplete="current-password"
          value={password}
          onInput={(text) => {
            setPassword(text);
            setProblem('');
          }}
          error={problem}
        />
        <Press type="submit" tone="go" full busy={isBusy ? 'Signing in' : undefined}>
          Sign in
        </Press>
      </form>
    </Sheet>
  );
}
