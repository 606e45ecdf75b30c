import { chooseClub, session } from '~/api/session.ts';
import { Screen } from '~/components/screen/index.tsx';
import { Section } from '~/components/section/index.tsx';
import { StaveList } from '~/components/stave-list/index.tsx';
import { StaveRow } from '~/components/stave-row/index.tsx';
import { Title } from '~/components/words/index.tsx';

const ROLES: Record<string, string> = {
  member: 'Member',
  keeper: 'Keeper',
  admin: 'Admin',
  tablet: 'Tablet',
};

/** For somebody of several clubs: which one this phone works for. */
export default function ChooseClub() {
  const { persons } = session.value;
  return (
    <Screen title="Your clubs" glow="top">
      <Section>
        <Title>Your clubs</Title>
        <p class="note gap2">This phone works for one at a time. You can change it under Mine.</p>
      </Section>
      <div class="gap5">
        <StaveList label="Your clubs">
          {persons.map((person) => (
            <StaveRow
              key={person.id}
              title={person.club.name}
              onPress={() => chooseClub(person.club.id)}
              heading="h2"
            >
              {ROLES[person.role] ?? person.role}, as {person.name}
            </StaveRow>
          ))}
        </StaveList>
      </div>
    </Screen>
  );
}
