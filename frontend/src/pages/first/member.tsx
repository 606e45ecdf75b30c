import './style.css';
import { session } from '~/api/session.ts';
import type { Barrel } from '~/api/types.ts';
import { radiusFor } from '~/components/draw/picture.ts';
import { EndView } from '~/components/end-view/index.tsx';
import { Loading } from '~/components/loading/index.tsx';
import { Screen } from '~/components/screen/index.tsx';
import { Section } from '~/components/section/index.tsx';
import { Sill } from '~/components/sill/index.tsx';
import { StaveList } from '~/components/stave-list/index.tsx';
import { StaveRow } from '~/components/stave-row/index.tsx';
import { WaterLine } from '~/components/water-line/index.tsx';
import { Brand, Say } from '~/components/words/index.tsx';
import { barrelBy, barrels, reservations } from '~/outbox/overlay.ts';
import { syncStatus } from '~/sync/status.ts';
import { BarrelRow } from '../parts/barrel-row.tsx';
import { moment } from '../parts/clock.ts';
import { isFirstLoad } from '../parts/first-load.ts';
import { Fresh } from '../parts/fresh.tsx';
import { MayBeCleared } from '../parts/may-be-cleared.tsx';
import { myId, nameOf } from '../parts/me.ts';
import { Notices } from '../parts/notices.tsx';
import { pictureOf, sharersSentence, stateSentence } from '../words/barrel.ts';
import { fillVerdict, myFills, mySlots, nextOfAll, slotSentence } from '../words/first.ts';
import { troubleVerdict } from '../words/trouble.ts';

/** A member's first screen: the fill that wants them most, the others, the next slot, and Scan. */
export function MemberFirst() {
  const now = moment();
  const me = myId();
  const [first, ...others] = myFills(barrels.value, me, now);
  const slots = mySlots(reservations.value, me, now);
  const { club, person } = session.value;
  const sill = (
    <Sill
      left={{ label: 'Barrels', href: '/barrels' }}
      act={{ label: 'Scan', href: '/scan' }}
      right={{ label: 'Mine', href: '/mine' }}
    />
  );
  const isFresh = syncStatus.value.has_signal;
  return (
    <Screen
      title={club?.name ?? 'Staveward'}
      heading={`${club?.name ?? 'Staveward'}, ${person?.name ?? ''}`}
      glow="right"
      top={{ left: club?.name, right: isFresh ? person?.name : <Fresh /> }}
      sill={sill}
    >
      {isFirstLoad() ? (
        <Loading />
      ) : (
        <div class="first">
          <div class="first__main">
            <Notices />
            {first ? <MyFill barrel={first} /> : <NoFill />}
          </div>
          <div class="first__rest">
            {(others.length > 0 || slots.length > 0) && (
              <StaveList label="Your other fills and slots">
                {others.map((barrel) => (
                  <BarrelRow key={barrel.id} barrel={barrel}>
                    {stateSentence(barrel, now)} {sharersSentence(barrel.contents!, me, nameOf)}{' '}
                    <span class={fillVerdict(barrel, now).due ? 'due' : undefined}>
                      {fillVerdict(barrel, now).due ?? fillVerdict(barrel, now).next}
                    </span>
                  </BarrelRow>
                ))}
                {slots.map((slot) => {
                  const barrel = barrelBy(slot.barrel);
                  const words = slotSentence(slot, me, nameOf);
                  return barrel ? (
                    <BarrelRow key={slot.id} barrel={barrel} href="/reservations">
                      {words}
                    </BarrelRow>
                  ) : (
                    <StaveRow key={slot.id} title="A reservation" href="/reservations">
                      {words}
                    </StaveRow>
                  );
                })}
              </StaveList>
            )}
            <Section>
              <p class="gap4">
                <a class="link" href="/reserve">
                  Reserve a barrel for your next fill
                </a>
              </p>
            </Section>
            <MayBeCleared />
          </div>
        </div>
      )}
    </Screen>
  );
}

function MyFill({ barrel }: { barrel: Barrel }) {
  const now = moment();
  const verdict = fillVerdict(barrel, now);
  const trouble = barrel.troubles[0];
  return (
    <WaterLine
      barrel={pictureOf(barrel, now.now_ms)}
      side="right"
      words="wide"
      radius={160}
      above={
        <Brand as="h2" big tone={trouble ? 'red' : undefined}>
          <a class="first__name" href={`/barrels/${barrel.id}`}>
            {barrel.name}
          </a>
        </Brand>
      }
      below={
        <>
          <p class="note">
            {stateSentence(barrel, now)} {sharersSentence(barrel.contents!, myId(), nameOf)}
          </p>
          <Say>
            {trouble && <span class="red">{troubleVerdict(trouble.kind)} </span>}
            {verdict.due && <span class="due">{verdict.due} </span>}
            {verdict.next}
          </Say>
        </>
      }
    />
  );
}

/** Nothing of one's own in wood yet. */
function NoFill() {
  const now = moment();
  const open = barrels.value.filter((barrel) => barrel.contents?.may_taste);
  const next = nextOfAll(open, now);
  return (
    <Section class="first__none">
      <EndView
        barrel={{ name: '', tag: 'BARE', capacityL: 5, contents: 'empty' }}
        radius={radiusFor(5, 2)}
        decorative
      />
      <Say as="h2">Nothing for you today.</Say>
      <p class="note">
        {next ?? 'You hold no share of a fill yet.'} Reserve a barrel, or scan one that is open to tasting.
      </p>
    </Section>
  );
}
