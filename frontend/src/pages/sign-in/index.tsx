import './style.css';
import { useState } from 'preact/hooks';
import type { Problem } from '~/api/errors.ts';
import { signIn } from '~/api/session.ts';
import { EndView } from '~/components/end-view/index.tsx';
import { Field } from '~/components/field/index.tsx';
import { Notice } from '~/components/notice/index.tsx';
import { Press } from '~/components/press/index.tsx';
import { Screen } from '~/components/screen/index.tsx';
import { Section } from '~/components/section/index.tsx';
import { Title } from '~/components/words/index.tsx';

const WORDS: Record<string, string> = {
  no_signal: 'The server did not answer. The first sign-in on a phone needs signal.',
  email_password_mismatch: 'That e-mail address and password do not belong together.',
  too_many_login_attempts: 'Too many tries. Wait a few minutes, then try again.',
};

function problemWords(problem: Problem): string {
  if (problem.status === 429) return WORDS.too_many_login_attempts!;
  return WORDS[problem.code] ?? problem.detail;
}

/** The door: who is here. */
export default function SignIn() {
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
  };

  return (
    <Screen title="Sign in" glow="right">
      <div class="sign-in">
        <div class="sign-in__picture" aria-hidden="true">
          <EndView
            barrel={{
              name: '',
              tag: 'STAVE',
              capacityL: 5,
              contents: 'spirit',
              levelLow: 0.71,
              levelHigh: 0.74,
              woodUsedLow: 0.2,
              woodUsedHigh: 0.35,
            }}
            radius={150}
            cut="right"
            decorative
          />
        </div>
        <Section class="sign-in__words">
          <Title>Staveward</Title>
          <p class="note gap2">The log of your club’s barrels.</p>
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
          <p class="note gap5">
            Your keeper invites you. After the first sign-in this phone works with no signal.
          </p>
        </Section>
      </div>
    </Screen>
  );
}
