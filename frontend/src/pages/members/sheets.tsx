import '../care-settings/style.css';
import { useState } from 'preact/hooks';
import type { Person, Role } from '~/api/types.ts';
import { Choice } from '~/components/choice/index.tsx';
import { Field } from '~/components/field/index.tsx';
import { type Kept, keep, keepEdit } from '../parts/keep.ts';
import { SheetForm } from '../parts/sheet-form.tsx';
import { emailWrong, nameWrong, ROLE_OPTIONS, roleWords } from '../words/members.ts';

interface SheetProps {
  people: readonly Person[];
  onClose: () => void;
  onKept: (words: string) => void;
}

interface Said {
  name: string;
  email: string;
  role: Role;
}

type Wrong = { name?: string; email?: string };

const wrongOf = (said: Said, others: readonly Person[]): Wrong => ({
  ...nameWrong(said.name, others),
  ...emailWrong(said.email, others),
});

interface FieldsProps {
  said: Said;
  wrong: Wrong;
  onChange: (said: Said) => void;
  /** Of the address. */
  hint: string | undefined;
}

/** Who somebody is, how to reach them, and what they are here. */
function PersonFields({ said, wrong, onChange, hint }: FieldsProps) {
  return (
    <>
      <Field
        label="Name"
        value={said.name}
        onInput={(name) => onChange({ ...said, name })}
        maxLength={60}
        error={wrong.name}
      />
      <Field
        label="E-mail"
        type="email"
        inputMode="email"
        autoCapitalize="none"
        value={said.email}
        onInput={(email) => onChange({ ...said, email })}
        error={wrong.email}
        hint={hint}
      />
      <Choice
        label="What they are here"
        value={said.role}
        onChange={(role) => onChange({ ...said, role: role as Role })}
        options={ROLE_OPTIONS}
      />
      <p class="note">{roleWords(said.role)}</p>
    </>
  );
}

/** Somebody new: known by name alone, or with an address to which a mail goes. */
export function AddSheet({ people, onClose, onKept }: SheetProps) {
  const [said, setSaid] = useState<Said>({ name: '', email: '', role: 'member' });
  const [wrong, setWrong] = useState<Wrong>({});
  const name = said.name.trim();
  const email = said.email.trim();
  const save = async (): Promise<Kept | null> => {
    const found = wrongOf(said, people);
    setWrong(found);
    if (found.name || found.email) return null;
    return keep('people', { name, role: said.role, ...(email ? { email } : {}) });
  };
  return (
    <SheetForm
      title="Somebody new"
      label="Add them"
      onClose={onClose}
      onSave={save}
      onKept={() =>
        onKept(
          email
            ? `${name} is added. A mail with a link to choose a password goes to ${email}.`
            : `${name} is added, by name only.`,
        )
      }
    >
      <PersonFields
        said={said}
        wrong={wrong}
        onChange={setSaid}
        hint="A mail brings a link to choose a password. Leave it empty for somebody who never signs in."
      />
    </SheetForm>
  );
}

/** Somebody of the club: another name, role or address, or gone. */
export function ChangeSheet({ person, people, onClose, onKept }: SheetProps & { person: Person }) {
  const [said, setSaid] = useState<Said>({
    name: person.name,
    email: person.email ?? '',
    role: person.role,
  });
  const [hasLeft, setHasLeft] = useState(false);
  const [wrong, setWrong] = useState<Wrong>({});
  const name = said.name.trim();
  const email = said.email.trim();
  const others = people.filter((one) => one.id !== person.id);
  const save = async (): Promise<Kept | null> => {
    const found = wrongOf(said, others);
    setWrong(found);
    if (found.name || found.email) return null;
    const changes = {
      ...(name === person.name ? {} : { name }),
      ...(said.role === person.role ? {} : { role: said.role }),
      ...(email && email !== person.email ? { email } : {}),
      ...(hasLeft ? { has_left: true } : {}),
    };
    if (Object.keys(changes).length === 0) {
      onClose();
      return null;
    }
    return keepEdit('people', person.id, person.version, changes);
  };
  return (
    <SheetForm
      title={person.name}
      onClose={onClose}
      onSave={save}
      onKept={() => onKept(hasLeft ? `${name} has left.` : `${name} is changed.`)}
    >
      <PersonFields
        said={said}
        wrong={wrong}
        onChange={setSaid}
        hint={person.email ? undefined : 'A mail brings a link to choose a password.'}
      />
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
