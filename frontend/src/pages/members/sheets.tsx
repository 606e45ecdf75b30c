import '../care-settings/style.css';
import { useState } from 'preact/hooks';
import type { Person, Role } from '~/api/types.ts';
import { Choice } from '~/components/choice/index.tsx';
import { Field } from '~/components/field/index.tsx';
import { revise } from '~/outbox/record.ts';
import { type Kept, keep } from '../parts/keep.ts';
import { SheetForm } from '../parts/sheet-form.tsx';
import { emailWrong, nameWrong, ROLE_OPTIONS, roleWords } from '../words/members.ts';

interface SheetProps {
  people: readonly Person[];
  onClose: () => void;
  onKept: (words: string) => void;
}

/** Somebody new: known by name alone, or with an address to which a mail goes. */
export function AddSheet({ people, onClose, onKept }: SheetProps) {
  const [name, setName] = useState('');
  const [email, setEmail] = useState('');
  const [role, setRole] = useState<Role>('member');
  const [wrong, setWrong] = useState<{ name?: string; email?: string }>({});
  const save = async (): Promise<Kept | null> => {
    const found = { ...nameWrong(name, people), ...emailWrong(email, people) };
    setWrong(found);
    if (found.name || found.email) return null;
    return keep('people', {
      name: name.trim(),
      role,
      ...(email.trim() ? { email: email.trim() } : {}),
    });
  };
  return (
    <SheetForm
      title="Somebody new"
      label="Add them"
      onClose={onClose}
      onSave={save}
      onKept={() =>
        onKept(
          email.trim()
            ? `${name.trim()} is added. A mail with a link to choose a password goes to ${email.trim()}.`
            : `${name.trim()} is added, by name only.`,
        )
      }
    >
      <Field label="Name" value={name} onInput={setName} maxLength={60} error={wrong.name} />
      <Field
        label="E-mail"
        type="email"
        inputMode="email"
        autoCapitalize="none"
        value={email}
        onInput={setEmail}
        error={wrong.email}
        hint="A mail brings a link to choose a password. Leave it empty for somebody who never signs in."
      />
      <Choice
        label="What they are here"
        value={role}
        onChange={(value) => setRole(value as Role)}
        options={ROLE_OPTIONS}
      />
      <p class="note">{roleWords(role)}</p>
    </SheetForm>
  );
}

/** Somebody of the club: another name, role or address, or gone. */
export function ChangeSheet({ person, people, onClose, onKept }: SheetProps & { person: Person }) {
  const [name, setName] = useState(person.name);
  const [email, setEmail] = useState(person.email ?? '');
  const [role, setRole] = useState<Role>(person.role);
  const [hasLeft, setHasLeft] = useState(false);
  const [wrong, setWrong] = useState<{ name?: string; email?: string }>({});
  const others = people.filter((one) => one.id !== person.id);
  const save = async (): Promise<Kept | null> => {
    const found = { ...nameWrong(name, others), ...emailWrong(email, others) };
    setWrong(found);
    if (found.name || found.email) return null;
    const changes = {
      ...(name.trim() === person.name ? {} : { name: name.trim() }),
      ...(role === person.role ? {} : { role }),
      ...(email.trim() && email.trim() !== person.email ? { email: email.trim() } : {}),
      ...(hasLeft ? { has_left: true } : {}),
    };
    if (Object.keys(changes).length === 0) {
      onClose();
      return null;
    }
    try {
      return { ok: true, recorded: await revise('people', person.id, person.version, changes) };
    } catch (error) {
      return { ok: false, words: error instanceof Error ? error.message : 'It is not kept.' };
    }
  };
  return (
    <SheetForm
      title={person.name}
      onClose={onClose}
      onSave={save}
      onKept={() => onKept(hasLeft ? `${name.trim()} has left.` : `${name.trim()} is changed.`)}
    >
      <Field label="Name" value={name} onInput={setName} maxLength={60} error={wrong.name} />
      <Field
        label="E-mail"
        type="email"
        inputMode="email"
        autoCapitalize="none"
        value={email}
        onInput={setEmail}
        error={wrong.email}
        hint={person.email ? undefined : 'A mail brings a link to choose a password.'}
      />
      <Choice
        label="What they are here"
        value={role}
        onChange={(value) => setRole(value as Role)}
        options={ROLE_OPTIONS}
      />
      <p class="note">{roleWords(role)}</p>
      {!person.is_me && (
        <label class="care-settings__strict">
          <input
            type="checkbox"
            checked={hasLeft}
            onChange={(event) => setHasLeft(event.currentTarget.checked)}
          />
          <span>They have left the club</span>
        </label>
      )}
      {hasLeft && (
        <p class="note ink">They see nothing of the club from then on. What they logged and share stays.</p>
      )}
    </SheetForm>
  );
}
