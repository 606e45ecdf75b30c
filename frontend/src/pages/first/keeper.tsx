import './style.css';
import { session } from '~/api/session.ts';
import type { Barrel } from '~/api/types.ts';
import { Loading } from '~/components/loading/index.tsx';
import { Press } from '~/components/press/index.tsx';
import { Screen } from '~/components/screen/index.tsx';
import { Sill } from '~/components/sill/index.tsx';
import { StaveList } from '~/components/stave-list/index.tsx';
import { StaveRow } from '~/components/stave-row/index.tsx';
import { WaterLine } from '~/components/water-line/index.tsx';
import { Brand, Verdict } from '~/components/words/index.tsx';
import { barrelBy, barrels, placeBy, reservations } from '~/outbox/overlay.ts';
import { tray, useAnswer } from '~/sync/answers.ts';
import { syncStatus } from '~/sync/status.ts';
import { BarrelRow } from '../parts/barrel-row.tsx';
import { moment } from '../parts/clock.ts';
import { isFirstLoad } from '../parts/first-load.ts';
import { Fresh } from '../parts/fresh.tsx';
import { MayBeCleared } from '../parts/may-be-cleared.tsx';
import { nameOf } from '../parts/me.ts';
import { Notices } from '../parts/notices.tsx';
import { pictureOf, stateSentence } from '../words/barrel.ts';
import { dueTotal, harmfullyLate, lateSentenceOf } from '../words/care.ts';
import { keeperDay, nextOfAll } from '../words/first.ts';
import { capital, counted, inWords } from '../words/numbers.ts';
import { datesWords, wantedTwice } from '../words/reserve.ts';
import { dayMonth, nearDayOf } from '../words/time.ts';
import { troubleNote, troubleVerdict } from '../words/trouble.ts';

/** The keeper's first screen: what is wrong now, what is due, what needs them. */
export default function KeeperFirst() {
  const now = moment();
  const all = barrels.value;
  const { worst, troubled, late } = keeperDay(all, now);
  const due = dueTotal(all, now);
  const clashes = wantedTwice(reservations.value);
  const pencilled = reservations.value.filter((one) => one.state === 'pencilled');
  const waiting = useAnswer(tray).value;
  const entries = waiting.data?.entries ?? [];
  const place = worst ? placeBy(worst.barrel.place)?.name : session.value.club?.name;
  return (
    <Screen
      title="Today"
      heading="Today"
      glow="right"
      top={{ left: place, right: <Fresh /> }}
      sill={
        <Sill
          left={{ label: 'Scan', href: '/scan' }}
          act={{ label: 'Start the walk', href: '/walk' }}
          right={{ label: 'More', href: '/mine' }}
        />
      }
    >
      {isFirstLoad() ? (
        <Loading />
      ) : (
        <div class="first">
          {worst && (
            <div class="first__main">
              <Worst barrel={worst.barrel} />
            </div>
          )}
          <div class={worst ? 'first__rest' : 'first__rest first__rest--alone'}>
            <Notices />
            <StaveList label="Today">
              {troubled.map(({ barrel, kind }) => (
                <BarrelRow key={barrel.id} barrel={barrel} proud="red">
                  {troubleVerdict(kind)} {stateSentence(barrel, now)}
                </BarrelRow>
              ))}
              {late.map((barrel) => (
                <BarrelRow key={barrel.id} barrel={barrel} proud="red">
                  {lateSentenceOf(barrel, harmfullyLate(barrel, now)!, now)}
                </BarrelRow>
              ))}
              <StaveRow title={due.title} heading="h2" href="/walk">
                {due.detail || nextOfAll(all, now) || 'The cellar is in order.'}
              </StaveRow>
              {clashes.map(({ barrel, first, second }) => (
                <StaveRow
                  key={second.id}
                  heading="h2"
                  href="/reservations"
                  title={`${barrelBy(barrel)?.name ?? 'A barrel'} from ${dayMonth(second.starts_on)} is wanted twice`}
                >
                  {nameOf(first.person)} asked first; {nameOf(second.person)} waits.
                </StaveRow>
              ))}
              {pencilled.length > 0 && (
                <StaveRow
                  title={`${capital(counted(pencilled.length, 'reservation waits', 'reservations wait'))} for your word`}
                  heading="h2"
                  href="/reservations"
                >
                  {pencilled
                    .slice(0, 2)
                    .map(
                      (one) =>
                        `${nameOf(one.person)} wants ${barrelBy(one.barrel)?.name ?? 'a barrel'}, ${datesWords(one.starts_on, one.ends_on)}.`,
                    )
                    .join(' ')}
                  {pencilled.length > 2 && ` And ${inWords(pencilled.length - 2)} more.`}
                </StaveRow>
              )}
              {entries.length > 0 && (
                <StaveRow
                  title={`${capital(counted(entries.length, 'entry needs', 'entries need'))} you`}
                  heading="h2"
                  href="/needs-the-keeper"
                >
                  {entries[0]!.reason_text}
                  {waiting.as_of_ms !== null && !syncStatus.value.has_signal
                    ? ` As of ${nearDayOf(waiting.as_of_ms, now)}.`
                    : ''}
                </StaveRow>
              )}
              {all.length === 0 ? (
                <StaveRow title="Register the first barrel" heading="h2" href="/adopt">
                  Its room is named with it.
                </StaveRow>
              ) : (
                <StaveRow title="All barrels" heading="h2" href="/barrels">
                  {capital(counted(all.filter((one) => one.state !== 'retired').length, 'barrel', 'barrels'))}{' '}
                  in the club.
                </StaveRow>
              )}
            </StaveList>
            <MayBeCleared />
          </div>
        </div>
      )}
    </Screen>
  );
}

/** The trouble that cannot wait, with its barrel at the screen's edge. */
function Worst({ barrel }: { barrel: Barrel }) {
  const now = moment();
  const trouble = barrel.troubles[0]!;
  return (
    <WaterLine
      barrel={pictureOf(barrel, now.now_ms)}
      side="right"
      radius={150}
      above={
        <Brand as="h2" big tone="red">
          <a class="first__name" href={`/barrels/${barrel.id}`}>
            {barrel.name}
          </a>
        </Brand>
      }
      below={
        <>
          <Verdict>{troubleVerdict(trouble.kind)}</Verdict>
          <p class="note">
            Since {nearDayOf(Date.parse(trouble.since), now)}. {troubleNote(trouble)}{' '}
            {stateSentence(barrel, now)}
          </p>
          <div class="first__act">
            <Press tone="red" href={`/barrels/${barrel.id}/trouble`}>
              What to do next
            </Press>
          </div>
        </>
      }
    />
  );
}
