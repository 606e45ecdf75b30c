import { Press } from '~/components/press/index.tsx';
import { Screen } from '~/components/screen/index.tsx';
import { Section } from '~/components/section/index.tsx';
import { Sill } from '~/components/sill/index.tsx';
import { StaveList } from '~/components/stave-list/index.tsx';
import { StaveRow } from '~/components/stave-row/index.tsx';
import { Note, Title } from '~/components/words/index.tsx';
import { barrelBy } from '~/outbox/overlay.ts';
import { type ShownVessel, vessels } from '~/outbox/overlay-glass.ts';
import { moment } from '../parts/clock.ts';
import { EmptyRoom } from '../parts/empty-room.tsx';
import { Fresh } from '../parts/fresh.tsx';
import { isKeeper } from '../parts/me.ts';
import { EMPTY_BELOW_L, leftWords, recordWords, vesselStrengthWords } from '../words/glass.ts';
import { capital } from '../words/numbers.ts';
import { nearDayOf } from '../words/time.ts';

/** What lies between barrel and bottle: one's own, and for the keeper all of it. */
export default function VesselsPage() {
  const all = vessels.value;
  const full = all.filter((vessel) => vessel.left_l > EMPTY_BELOW_L);
  const empty = all.filter((vessel) => vessel.left_l <= EMPTY_BELOW_L);
  const record = recordWords(all);
  return (
    <Screen
      title="Vessels"
      top={{ back: { href: '/', label: 'Back' }, right: <Fresh /> }}
      sill={
        <Sill left={{ label: 'Bottles', href: '/bottles' }} right={{ label: 'Barrels', href: '/barrels' }} />
      }
    >
      <Section>
        <Title>Vessels</Title>
        {full.length === 0 ? (
          <EmptyRoom>
            <p>
              {isKeeper()
                ? 'Nothing waits in glass or steel. A decant fills the first.'
                : 'Nothing of yours waits in glass or steel.'}
            </p>
            <Press href="/bottles">The bottles</Press>
          </EmptyRoom>
        ) : (
          <Note>Keep them closed, cool and dark; air takes the aroma.</Note>
        )}
        {record && <p class="note reck gap2">{record}</p>}
      </Section>
      {full.length > 0 && <List label="With something in" rows={full} />}
      {empty.length > 0 && (
        <>
          <Section class="gap6">
            <h2 class="lead b">Emptied</h2>
          </Section>
          <List label="Emptied" rows={empty.slice(0, 20)} />
        </>
      )}
    </Screen>
  );
}

function List({ label, rows }: { label: string; rows: readonly ShownVessel[] }) {
  const now = moment();
  return (
    <StaveList label={label}>
      {rows.map((vessel) => {
        const barrel = barrelBy(vessel.barrel ?? '');
        const from = barrel ? `from ${barrel.name}, ` : vessel.made_by === 'blends' ? 'blended ' : '';
        return (
          <StaveRow
            key={vessel.id}
            href={`/vessels/${vessel.id}`}
            title={capital(vessel.name || 'No name yet')}
            {...(vessel.is_here ? { aside: 'on this phone' } : {})}
          >
            <p>{leftWords(vessel)}</p>
            <Note>
              {vesselStrengthWords(vessel)}, {from}
              {nearDayOf(Date.parse(vessel.made_at), now)}
            </Note>
          </StaveRow>
        );
      })}
    </StaveList>
  );
}
