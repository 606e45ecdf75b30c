import { useState } from 'preact/hooks';
import type { Person } from '~/api/types.ts';
import { Field } from '~/components/field/index.tsx';
import { Press } from '~/components/press/index.tsx';
import { Screen } from '~/components/screen/index.tsx';
import { Section } from '~/components/section/index.tsx';
import { Sill } from '~/components/sill/index.tsx';
import { StaveList } from '~/components/stave-list/index.tsx';
import { StaveRow } from '~/components/stave-row/index.tsx';
import { Title } from '~/components/words/index.tsx';
import { barrels, people } from '~/outbox/overlay.ts';
import { moment } from '../parts/clock.ts';
import { Fresh } from '../parts/fresh.tsx';
import { keptWords } from '../parts/keep.ts';
import { isKeeper, myRole } from '../parts/me.ts';
import { myFills } from '../words/first.ts';
import { ROLES } from '../words/members.ts';
import { capital, counted, listed } from '../words/numbers.ts';
import { nearDayOf } from '../words/time.ts';
import { AddSheet, ChangeSheet } from './sheets.tsx';

const ORDER = ['admin', 'keeper', 'member', 'tablet', 'sensor'];

/** Who is in the club, and whose fills are in wood. */
export default function Members() {
  const [text, setText] = useState('');
  const [open, setOpen] = useState<Person | 'add' | null>(null);
  const [said, setSaid] = useState('');
  const mayChange = myRole() === 'admin';
  const here = people.value
    .filter((one) => one.left_at === null)
    .filter((one) => one.name.toLowerCase().includes(text.trim().toLowerCase()))
    .sort((a, b) => ORDER.indexOf(a.role) - ORDER.indexOf(b.role) || a.name.localeCompare(b.name));
  const gone = people.value.filter((one) => one.left_at !== null);
  const sheet = {
    people: people.value,
    onClose: () => setOpen(null),
    onKept: (words: string) => {
      setOpen(null);
      setSaid(`${words} ${keptWords()}`);
      scrollTo(0, 0);
    },
  };
  return (
    <Screen
      title="Members"
      announce={said}
      top={{ back: { href: '/mine', label: isKeeper() ? 'More' : 'Mine' }, right: <Fresh /> }}
      sill={
        <Sill
          left={{ label: 'Barrels', href: '/barrels' }}
          act={
            mayChange
              ? { label: 'Add somebody', onPress: () => setOpen('add') }
              : { label: 'Scan', href: '/scan' }
          }
          right={{ label: 'Home', href: '/' }}
        />
      }
    >
      <Section>
        <Title>Members</Title>
        {said && <p class="ok tick gap3">{said}</p>}
        {!mayChange && <p class="note gap2">An admin adds people.</p>}
        <div class="gap4">
          <Field label="Name" type="search" value={text} onInput={setText} autoCapitalize="none" />
        </div>
      </Section>
      <div class="gap4">
        <StaveList label="Members">
          {here.map((person) => (
            <Row
              key={person.id}
              person={person}
              {...(mayChange ? { onChange: () => setOpen(person) } : {})}
            />
          ))}
        </StaveList>
      </div>
      {gone.length > 0 && (
        <Section class="gap5">
          <p class="note">{capital(counted(gone.length, 'former member', 'former members'))} in the log.</p>
        </Section>
      )}
      {open === 'add' && <AddSheet {...sheet} />}
      {open && open !== 'add' && <ChangeSheet {...sheet} person={open} />}
    </Screen>
  );
}

function Row({ person, onChange }: { person: Person; onChange?: () => void }) {
  const now = moment();
  const fills = myFills(barrels.value, person.id, now).map((barrel) => barrel.name);
  return (
    <StaveRow
      title={person.is_me ? `${person.name}, you` : person.name}
      heading="h2"
      aside={
        onChange && (
          <Press onPress={onChange}>
            Change<span class="sr"> {person.name}</span>
          </Press>
        )
      }
    >
      {ROLES[person.role] ?? person.role}, since {nearDayOf(Date.parse(person.joined_at), now)}.{' '}
      {fills.length > 0 && `Shares ${listed(fills)}. `}
      {person.email}
    </StaveRow>
  );
}
