import { useState } from 'preact/hooks';
import type { Person } from '~/api/types.ts';
import { Field } from '~/components/field/index.tsx';
import { Screen } from '~/components/screen/index.tsx';
import { Section } from '~/components/section/index.tsx';
import { Sill } from '~/components/sill/index.tsx';
import { StaveList } from '~/components/stave-list/index.tsx';
import { StaveRow } from '~/components/stave-row/index.tsx';
import { Title } from '~/components/words/index.tsx';
import { barrels, people } from '~/outbox/overlay.ts';
import { moment } from '../parts/clock.ts';
import { Fresh } from '../parts/fresh.tsx';
import { isKeeper } from '../parts/me.ts';
import { myFills } from '../words/first.ts';
import { capital, counted, listed } from '../words/numbers.ts';
import { nearDayOf } from '../words/time.ts';

const ROLES: Record<string, string> = {
  admin: 'Admin',
  keeper: 'Keeper',
  member: 'Member',
  tablet: 'The bar’s tablet',
  sensor: 'A sensor',
};
const ORDER = ['admin', 'keeper', 'member', 'tablet', 'sensor'];

/** Who is in the club, and whose fills are in wood. */
export default function Members() {
  const [text, setText] = useState('');
  const here = people.value
    .filter((one) => one.left_at === null)
    .filter((one) => one.name.toLowerCase().includes(text.trim().toLowerCase()))
    .sort((a, b) => ORDER.indexOf(a.role) - ORDER.indexOf(b.role) || a.name.localeCompare(b.name));
  const gone = people.value.filter((one) => one.left_at !== null);
  return (
    <Screen
      title="Members"
      top={{ back: { href: '/mine', label: isKeeper() ? 'More' : 'Mine' }, right: <Fresh /> }}
      sill={
        <Sill
          left={{ label: 'Barrels', href: '/barrels' }}
          act={{ label: 'Scan', href: '/scan' }}
          right={{ label: 'Home', href: '/' }}
        />
      }
    >
      <Section>
        <Title>Members</Title>
        <div class="gap4">
          <Field label="Name" type="search" value={text} onInput={setText} autoCapitalize="none" />
        </div>
      </Section>
      <div class="gap4">
        <StaveList label="Members">
          {here.map((person) => (
            <Row key={person.id} person={person} />
          ))}
        </StaveList>
      </div>
      {gone.length > 0 && (
        <Section class="gap5">
          <p class="note">{capital(counted(gone.length, 'former member', 'former members'))} in the log.</p>
        </Section>
      )}
    </Screen>
  );
}

function Row({ person }: { person: Person }) {
  const now = moment();
  const fills = myFills(barrels.value, person.id, now).map((barrel) => barrel.name);
  return (
    <StaveRow title={person.is_me ? `${person.name}, you` : person.name} heading="h2">
      {ROLES[person.role] ?? person.role}, since {nearDayOf(Date.parse(person.joined_at), now)}.{' '}
      {fills.length > 0 && `Shares ${listed(fills)}. `}
      {person.email}
    </StaveRow>
  );
}
