import { useState } from 'preact/hooks';
import { BottleLevel } from '~/components/bottle-level/index.tsx';
import { Press } from '~/components/press/index.tsx';
import { PressGroup } from '~/components/press-group/index.tsx';
import { Screen } from '~/components/screen/index.tsx';
import { Section } from '~/components/section/index.tsx';
import { Sill } from '~/components/sill/index.tsx';
import { StaveList } from '~/components/stave-list/index.tsx';
import { StaveRow } from '~/components/stave-row/index.tsx';
import { Note, Title } from '~/components/words/index.tsx';
import { bottles, type ShownBottle } from '~/outbox/overlay-glass.ts';
import { moment } from '../parts/clock.ts';
import { EmptyRoom } from '../parts/empty-room.tsx';
import { Fresh } from '../parts/fresh.tsx';
import { isKeeper, myId, nameOf } from '../parts/me.ts';
import { bestBeforeWords, bottleWords, isSoon, numberWords } from '../words/bottle.ts';
import { capital } from '../words/numbers.ts';

type Whose = 'mine' | 'all' | 'ended';
const AT_ONCE = 60;

/** The bottle ledger: one's own first, what wants drinking soon on top. */
export default function BottlesPage() {
  const me = myId();
  const [whose, setWhose] = useState<Whose>(isKeeper() ? 'all' : 'mine');
  const [shown, setShown] = useState(AT_ONCE);
  const now = moment();
  const rows = bottles.value.filter((bottle) => {
    if (whose === 'ended') return bottle.ended_at !== null;
    return bottle.ended_at === null && (whose === 'all' || bottle.holder === me);
  });
  const soon = rows.filter((bottle) => isSoon(bottle, now));
  const rest = rows.filter((bottle) => !soon.includes(bottle));
  return (
    <Screen
      title="Bottles"
      top={{ back: { href: '/', label: 'Back' }, right: <Fresh /> }}
      sill={
        <Sill
          left={{ label: 'Vessels', href: '/vessels' }}
          act={{ label: 'Scan', href: '/scan' }}
          right={{ label: 'Mine', href: '/mine' }}
        />
      }
    >
      <Section>
        <Title>Bottles</Title>
        <div class="gap3">
          <PressGroup
            label="Which"
            hideLabel
            options={[
              { value: 'mine' as Whose, label: 'Mine' },
              { value: 'all' as Whose, label: 'The club’s' },
              { value: 'ended' as Whose, label: 'Finished' },
            ]}
            value={whose}
            onChange={(next) => setWhose(next ?? 'mine')}
          />
        </div>
        {rows.length === 0 && (
          <EmptyRoom>
            <p>{whose === 'ended' ? 'No bottle is finished yet.' : 'No bottles here yet.'}</p>
            <Press href="/vessels">What waits to be bottled</Press>
          </EmptyRoom>
        )}
      </Section>
      {soon.length > 0 && (
        <>
          <Section class="gap4">
            <h2 class="lead b">Drink soon</h2>
            <Note>Their best days end; that is about taste, not about safety.</Note>
          </Section>
          <List label="Drink soon" rows={soon.slice(0, shown)} isMine={whose === 'mine'} />
        </>
      )}
      {rest.length > 0 && (
        <div class="gap4">
          <List label="Bottles" rows={rest.slice(0, shown)} isMine={whose === 'mine'} />
        </div>
      )}
      {rest.length > shown && (
        <Section class="gap4">
          <Press full onPress={() => setShown(shown + AT_ONCE)}>
            {`Show more of ${rest.length}`}
          </Press>
        </Section>
      )}
    </Screen>
  );
}

function List({ label, rows, isMine }: { label: string; rows: readonly ShownBottle[]; isMine: boolean }) {
  const now = moment();
  return (
    <StaveList label={label}>
      {rows.map((bottle) => {
        const best = bestBeforeWords(bottle, now);
        return (
          <StaveRow
            key={bottle.id}
            href={`/b/${bottle.tag_code}`}
            title={capital(bottle.name)}
            figure={
              <BottleLevel
                level={bottle.level_ml / bottle.size_ml}
                label={`${bottle.level_ml} of ${bottle.size_ml} mL`}
              />
            }
            aside={
              isMine
                ? undefined
                : bottle.holder
                  ? nameOf(bottle.holder)
                  : bottle.end === 'away'
                    ? 'away'
                    : 'the club'
            }
          >
            <p>{bottleWords(bottle, now)}</p>
            <Note>
              {numberWords(bottle)}, tag {bottle.tag_code}
            </Note>
            {best && <Note>{best}</Note>}
          </StaveRow>
        );
      })}
    </StaveList>
  );
}
