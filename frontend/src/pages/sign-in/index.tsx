import { useState } from 'preact/hooks';
import { useLocation } from 'preact-iso';
import type { Problem } from '~/api/errors.ts';
import { signIn } from '~/api/session.ts';
import { Field } from '~/components/field/index.tsx';
import { Notice } from '~/components/notice/index.tsx';
import { Press } from '~/components/press/index.tsx';
import { Door } from './door.tsx';
import { ASK_PATH, AskLink, keyIn, NewPassword } from './password.tsx';

const WORDS: Record<string, string> = {
  no_signal: 'The server did not answer. The first sign-in on a phone needs signal.',
  email_password_mismatch: 'That e-mail address and password do not belong together.',
  too_many_login_attempts: 'Too many tries. Wait a few minutes, then try again.',
};

function problemWords(problem: Problem): string {
  if (problem.status === 429) return WORDS.too_many_login_attempts!;
  return WORDS[problem.code] ?? problem.detail;
}

/** The door: who is here, and the way in by a mail's link. */
export default function SignIn() {
  const { path } = useLocation();
  const [isSet, setIsSet] = useState(false);
  const link = keyIn(path);
  if (link && !isSet) return <NewPassword link={link} onSet={() => setIsSet(true)} />;
  if (path === ASK_PATH) return <AskLink />;
  return <SignInForm isSet={isSet} />;
}

function SignInForm({ isSet }: { isSet: boolean }) {
  const { path, route } = useLocation();
  const [email, setEmail] = useState('');
  const [password, setPassword] = useState('');
  const [isBusy, setBusy] = useState(false);
  const [problem, setProblem] = useState<Problem | null>(null);
  const [missing, setMissing] = useState<{ email?: string; password?: string }>({});

  const submit = async (event: Event): Promise<void> => {
    event.preventDefault();
    const gaps = {
      ...(email.includes('@') ? {} : { email: 'Type the address your club knows.' }),
      ...(password ? {} : { password: 'Type your password.' }),
    };
    setMissing(gaps);
    setProblem(null);
    if (Object.keys(gaps).length > 0 || isBusy) return;
    setBusy(true);
    const answer = await signIn(email.trim(), password);
    setBusy(false);
    if (!answer.ok) setProblem(answer.problem);
    else if (path.startsWith(ASK_PATH)) route('/', true);
  };

  return (
    <Door title="Sign in" heading="Staveward">
      <p class={isSet ? 'ok tick gap2' : 'note gap2'}>
        {isSet ? 'Your password is set. Sign in with it.' : 'The log of your club’s barrels.'}
      </p>
      <form class="stack gap6" onSubmit={submit} noValidate>
        <Field
          label="E-mail"
          name="email"
          type="email"
          inputMode="email"
          autocomplete="username"
          autoCapitalize="none"
          value={email}
          onInput={setEmail}
          error={missing.email}
          required
        />
        <Field
          label="Password"
          name="password"
          type="password"
          autocomplete="current-password"
          value={password}
          onInput={setPassword}
          error={missing.password}
          required
        />
        {problem && <Notice tone="red">{problemWords(problem)}</Notice>}
        <Press type="submit" tone="go" full busy={isBusy ? 'Signing in' : undefined}>
          Sign in
        </Press>
      </form>
      <div class="gap4">
        <a class="link" href={ASK_PATH}>
          No password yet, or forgotten?
        </a>
      </div>
      <p class="note gap3">
        An admin of your club adds you. After the first sign-in this phone works with no signal.
      </p>
    </Door>
  );
}
