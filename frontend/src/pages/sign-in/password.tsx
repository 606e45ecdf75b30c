import { useState } from 'preact/hooks';
import { askLink, setPassword } from '~/api/password.ts';
import { Field } from '~/components/field/index.tsx';
import { Notice } from '~/components/notice/index.tsx';
import { Press } from '~/components/press/index.tsx';
import { Door } from './door.tsx';

export const ASK_PATH = '/account/password/reset';

/** "/account/password/reset/3-abc" holds "3-abc". */
export function keyIn(path: string): string | null {
  const rest = path.startsWith(`${ASK_PATH}/`) ? path.slice(ASK_PATH.length + 1) : '';
  return rest ? decodeURIComponent(rest) : null;
}

/** Django's own shortest; the server has the last word. */
const SHORTEST = 8;

/** Where the link of a mail leads: a password is chosen. */
export function NewPassword({ link, onSet }: { link: string; onSet: () => void }) {
  const [password, setTyped] = useState('');
  const [wrong, setWrong] = useState('');
  const [problem, setProblem] = useState('');
  const [isBusy, setBusy] = useState(false);
  const submit = async (event: Event): Promise<void> => {
    event.preventDefault();
    const short = password.length < SHORTEST ? 'At least eight characters.' : '';
    setWrong(short);
    setProblem('');
    if (short || isBusy) return;
    setBusy(true);
    const answer = await setPassword(link, password);
    setBusy(false);
    if (answer.ok) onSet();
    else setProblem(answer.words);
  };
  return (
    <Door title="Choose a password" heading="Choose a password">
      <p class="note gap2">Then you sign in with it and your address.</p>
      <form class="stack gap6" onSubmit={(event) => void submit(event)} noValidate>
        <Field
          label="New password"
          name="password"
          type="password"
          autocomplete="new-password"
          value={password}
          onInput={setTyped}
          error={wrong || undefined}
          hint="At least eight characters; not your name, not only figures."
          required
        />
        {problem && <Notice tone="red">{problem}</Notice>}
        <Press type="submit" tone="go" full busy={isBusy ? 'Saving' : undefined}>
          Set it
        </Press>
      </form>
      <div class="gap4">
        <a class="link" href={ASK_PATH}>
          Get a new link by mail
        </a>
      </div>
    </Door>
  );
}

/** For whoever has no password, or no longer: a link by mail. */
export function AskLink() {
  const [email, setEmail] = useState('');
  const [wrong, setWrong] = useState('');
  const [problem, setProblem] = useState('');
  const [isSent, setSent] = useState(false);
  const [isBusy, setBusy] = useState(false);
  const submit = async (event: Event): Promise<void> => {
    event.preventDefault();
    const gap = email.includes('@') ? '' : 'Type the address your club knows.';
    setWrong(gap);
    setProblem('');
    if (gap || isBusy) return;
    setBusy(true);
    const answer = await askLink(email.trim());
    setBusy(false);
    if (answer.ok) setSent(true);
    else setProblem(answer.words);
  };
  return (
    <Door title="A link by mail" heading="A link by mail">
      {isSent ? (
        <p class="lead gap4" role="status">
          If your club knows that address, a mail is on its way. Open its link and choose a password.
        </p>
      ) : (
        <form class="stack gap5" onSubmit={(event) => void submit(event)} noValidate>
          <Field
            label="E-mail"
            name="email"
            type="email"
            inputMode="email"
            autocomplete="username"
            autoCapitalize="none"
            value={email}
            onInput={setEmail}
            error={wrong || undefined}
            hint="The address your club knows."
            required
          />
          {problem && <Notice tone="red">{problem}</Notice>}
          <Press type="submit" tone="go" full busy={isBusy ? 'Sending' : undefined}>
            Send me a link
          </Press>
        </form>
      )}
      <div class="gap4">
        <a class="link" href="/">
          Back to sign in
        </a>
      </div>
    </Door>
  );
}
