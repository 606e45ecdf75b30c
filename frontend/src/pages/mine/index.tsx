import { useState } from 'preact/hooks';
import { chooseClub, session } from '~/api/session.ts';
import { Notice } from '~/components/notice/index.tsx';
import { Press } from '~/components/press/index.tsx';
import { Screen } from '~/components/screen/index.tsx';
import { Section } from '~/components/section/index.tsx';
import { Sheet } from '~/components/sheet/index.tsx';
import { Sill } from '~/components/sill/index.tsx';
import { StaveList } from '~/components/stave-list/index.tsx';
import { StaveRow } from '~/components/stave-row/index.tsx';
import { ThemeChoice } from '~/components/theme-choice/index.tsx';
import { Title } from '~/components/words/index.tsx';
import { saveUnsentFile } from '~/outbox/file.ts';
import { flights } from '~/outbox/flights.ts';
import { barrels, people, reservations } from '~/outbox/overlay.ts';
import { bottles } from '~/outbox/overlay-glass.ts';
import { signOut } from '~/sync/start.ts';
import { syncStatus, unsentCount } from '~/sync/status.ts';
import { moment } from '../parts/clock.ts';
import { Fresh } from '../parts/fresh.tsx';
import { MayBeCleared } from '../parts/may-be-cleared.tsx';
import { isKeeper, myId } from '../parts/me.ts';
import { myFills, mySlots } from '../words/first.ts';
import { flightsWords } from '../words/flights.ts';
import { capital, counted } from '../words/numbers.ts';
import { AgainSheet } from './again-sheet.tsx';

const ROLES: Record<string, string> = {
  member: 'member',
  keeper: 'keeper',
  admin: 'admin',
  tablet: 'tablet',
};

/** Who I am here, what is mine, and how this phone behaves. */
export default function Mine() {
  const now = moment();
  const me = myId();
  const keeper = isKeeper();
  const { person, user, club, persons, state } = session.value;
  const fills = myFills(barrels.value, me, now);
  const held = bottles.value.filter((one) => one.holder === me && one.ended_at === null).length;
  const slots = mySlots(reservations.value, me, now);
  const [leaving, setLeaving] = useState<number | null>(null);
  const [isAgain, setAgain] = useState(false);
  const members = people.value.filter((one) => one.left_at === null && one.role !== 'sensor');

  const out = async (keepUnsent: boolean): Promise<void> => {
    const answer = await signOut({ keepUnsent });
    if (answer !== 'done') setLeaving(answer.unsent);
  };

  return (
    <Screen
      title={keeper ? 'More' : 'Mine'}
      top={{ back: { href: '/', label: 'Home' }, right: <Fresh /> }}
      sill={
        <Sill
          left={{ label: 'Barrels', href: '/barrels' }}
          act={{ label: 'Scan', href: '/scan' }}
          right={keeper ? { label: 'Walk', href: '/walk' } : { label: 'Reserve', href: '/reserve' }}
        />
      }
    >
      <Section>
        <Title>{person?.name ?? 'You'}</Title>
        <p class="note gap1">
          {capital(ROLES[person?.role ?? ''] ?? 'member')} of {club?.name}. {user?.email}
        </p>
      </Section>
      {state === 'expired' && (
        <div class="gap4">
          <Notice act={<Press onPress={() => setAgain(true)}>Sign in again</Press>}>
            The server has signed you out. What you write is kept here until you sign in again.
          </Notice>
        </div>
      )}
      <div class="gap5">
        <StaveList label="Yours">
          <StaveRow
            title={
              fills.length === 0
                ? 'No fill is yours'
                : capital(counted(fills.length, 'fill is yours', 'fills are yours'))
            }
            heading="h2"
            href={fills[0] ? `/barrels/${fills[0].id}` : '/barrels'}
          >
            {fills.length === 0
              ? 'Reserve a barrel for your first.'
              : fills.map((barrel) => barrel.name).join(', ')}
          </StaveRow>
          <StaveRow title="Reservations" heading="h2" href="/reservations">
            {slots.length === 0
              ? 'You have asked for none.'
              : `${capital(counted(slots.length, 'of yours stands', 'of yours stand'))}.`}
          </StaveRow>
          <StaveRow title="Bottles" heading="h2" href="/bottles">
            {capital(counted(held, 'bottle is yours', 'bottles are yours'))}.
          </StaveRow>
          <StaveRow title="Vessels" heading="h2" href="/vessels">
            What is out of the wood and not yet in bottles.
          </StaveRow>
          <StaveRow title="Blind flights" heading="h2" href="/flights">
            {flightsWords(flights.value, me)}
          </StaveRow>
          <StaveRow title="Recipes" heading="h2" href="/recipes">
            The club’s book, and your own.
          </StaveRow>
          <StaveRow title="Not yet sent" heading="h2" href="/not-yet-sent">
            {unsentCount.value === 0
              ? 'All has been sent.'
              : `${capital(counted(unsentCount.value, 'entry is', 'entries are'))} on this phone only.`}
          </StaveRow>
          <StaveRow title="Needs the keeper" heading="h2" href="/needs-the-keeper">
            {keeper
              ? 'Entries that came late and do not fit.'
              : 'Entries of yours that the keeper must place.'}
          </StaveRow>
          {keeper && (
            <StaveRow title="Today’s walk" heading="h2" href="/walk">
              What is due, in walking order.
            </StaveRow>
          )}
          {keeper && (
            <StaveRow title="A barrel for the club" heading="h2" href="/adopt">
              Register a new one, or adopt an old one as it was found.
            </StaveRow>
          )}
          {keeper && (
            <StaveRow title="Cellar report" heading="h2" href="/report">
              Stock, loss, wood and care of every barrel.
            </StaveRow>
          )}
          {keeper && (
            <StaveRow title="Care" heading="h2" href="/settings/care">
              How often each thing comes round, and when it is late.
            </StaveRow>
          )}
          <StaveRow title="The club" heading="h2" href="/settings/club">
            Its rules, what it asked about the law, its drink and its clock.
          </StaveRow>
          <StaveRow title="Members" heading="h2" href="/members">
            {capital(counted(members.length, 'person', 'people'))} in the club.
          </StaveRow>
        </StaveList>
      </div>
      <Section class="gap6">
        <h2 class="lead b">This phone</h2>
        <div class="gap3">
          <ThemeChoice />
        </div>
        <MayBeCleared bare />
        {persons.length > 1 && (
          <div class="gap4">
            <p class="note">You are in {counted(persons.length, 'club', 'clubs')}.</p>
            {persons
              .filter((one) => one.club.id !== club?.id)
              .map((one) => (
                <button key={one.id} type="button" class="link" onClick={() => chooseClub(one.club.id)}>
                  Work for {one.club.name}
                </button>
              ))}
          </div>
        )}
        <div class="gap5">
          <Press onPress={() => void out(false)}>Sign out</Press>
          <p class="note gap2">
            Signing out deletes what this phone has read.{' '}
            {!syncStatus.value.has_signal && 'The next sign-in needs signal.'}
          </p>
        </div>
      </Section>
      {leaving !== null && (
        <Sheet
          open
          onClose={() => setLeaving(null)}
          title="Not all has been sent"
          closeLabel="Stay signed in"
        >
          <div class="stack">
            <p>
              {capital(counted(leaving, 'entry is', 'entries are'))} on this phone only.{' '}
              {leaving === 1 ? 'It stays' : 'They stay'} here for you and {leaving === 1 ? 'goes' : 'go'} when
              you sign in again on this phone.
            </p>
            <Press onPress={() => void saveUnsentFile()}>Save as a file for the keeper</Press>
            <Press tone="red" onPress={() => void out(true)}>
              Sign out all the same
            </Press>
          </div>
        </Sheet>
      )}
      {isAgain && <AgainSheet email={user?.email ?? ''} onClose={() => setAgain(false)} />}
    </Screen>
  );
}
