import '../parts/acts.css';
import { useState } from 'preact/hooks';
import { useRoute } from 'preact-iso';
import { Press } from '~/components/press/index.tsx';
import { Screen } from '~/components/screen/index.tsx';
import { Section } from '~/components/section/index.tsx';
import { Sill } from '~/components/sill/index.tsx';
import { StaveList } from '~/components/stave-list/index.tsx';
import { StaveRow } from '~/components/stave-row/index.tsx';
import { Note, Say, Title } from '~/components/words/index.tsx';
import { barrelBy, club } from '~/outbox/overlay.ts';
import { type ShownVessel, vesselBy } from '~/outbox/overlay-glass.ts';
import { moment } from '../parts/clock.ts';
import { Fresh } from '../parts/fresh.tsx';
import { nameOf } from '../parts/me.ts';
import { Missing } from '../parts/missing.tsx';
import { mayWork } from '../parts/my-liquid.ts';
import {
  drawnApartWords,
  leftWords,
  money,
  overdrawnWords,
  ownersWords,
  scoredWords,
  vesselStrengthWords,
  warnedWords,
} from '../words/glass.ts';
import { capital, counted, litres, unit } from '../words/numbers.ts';
import { nearDayOf } from '../words/time.ts';
import { BlendSheet, DiscardSheet, WoodSheet } from './sheets.tsx';

const DONE: Record<string, string> = {
  bottlings: 'bottled',
  blends: 'blended',
  fills: 'back into wood',
  discards: 'poured away',
};

/** One vessel: what is left, whose it is, what became of the rest, and where it can go. */
export default function VesselPage() {
  const { params } = useRoute();
  const vessel = vesselBy(params.id ?? '');
  if (!vessel) return <Missing what="This vessel is not on this phone, or is not yours to see." />;
  return <Room key={vessel.id} vessel={vessel} />;
}

function Room({ vessel }: { vessel: ShownVessel }) {
  const [sheet, setSheet] = useState<'blend' | 'wood' | 'discard' | null>(null);
  const [said, setSaid] = useState('');
  const now = moment();
  const works = mayWork(vessel);
  const isEmpty = vessel.left_l <= 0.005;
  const barrel = barrelBy(vessel.barrel ?? '');
  const warned = warnedWords(vessel.allergens);
  const owners = ownersWords(vessel, nameOf);
  const over = overdrawnWords(vessel);
  const onSaid = (words: string): void => {
    setSheet(null);
    setSaid(words);
    scrollTo(0, 0);
  };
  return (
    <Screen
      title={vessel.name || 'Vessel'}
      announce={said}
      top={{ back: { href: '/vessels', label: 'Vessels' }, right: <Fresh /> }}
      sill={
        <Sill
          left={{ label: 'Vessels', href: '/vessels' }}
          {...(works && !isEmpty
            ? { act: { label: 'Bottle it', href: `/vessels/${vessel.id}/bottle` } }
            : {})}
          right={{ label: 'Bottles', href: '/bottles' }}
        />
      }
    >
      <Section>
        <Title>{capital(vessel.name || 'No name yet')}</Title>
        <p class="lead">{leftWords(vessel)}</p>
        <Note>{capital(vesselStrengthWords(vessel))}</Note>
        {barrel && (
          <Note>
            From{' '}
            <a class="link" href={`/barrels/${barrel.id}`}>
              {barrel.name}
            </a>
            , {nearDayOf(Date.parse(vessel.made_at), now)}
          </Note>
        )}
        {vessel.is_here && <Note>On this phone only; its people and price come with the next signal.</Note>}
        {said && <p class="ok tick gap3">{said}</p>}
        {vessel.expected_l && <Say>{scoredWords(vessel.expected_l, vessel.volume_l)}</Say>}
        {warned && <p class="note ink gap3">{warned}</p>}
        {owners && <p class="gap4">{owners}</p>}
        {vessel.cost_minor !== null && club.value && (
          <Note>It cost {money(vessel.cost_minor, club.value.currency)}.</Note>
        )}
        {works && !isEmpty && (
          <div class="acts gap4">
            <Press onPress={() => setSheet('blend')}>Blend it</Press>
            <Press onPress={() => setSheet('wood')}>Back into wood</Press>
            <Press tone="red" onPress={() => setSheet('discard')}>
              Pour it away
            </Press>
          </div>
        )}
      </Section>
      {vessel.bottlings.map((bottling) => (
        <div key={bottling.act}>
          <Section class="gap6">
            <h2 class="lead b">Bottled {nearDayOf(Date.parse(bottling.happened_at), now)}</h2>
            <Apart bottling={bottling} />
          </Section>
          <StaveList label="Who got what">
            {bottling.shares.map((share) => (
              <StaveRow
                key={share.person ?? 'club'}
                title={share.person ? nameOf(share.person) : 'The club'}
                {...(share.cost_minor !== null && club.value
                  ? { aside: money(share.cost_minor, club.value.currency) }
                  : {})}
              >
                {counted(share.bottles, 'bottle', 'bottles')}
                {share.heel_ml > 0 && ` and ${unit(share.heel_ml, 'mL')} in a glass`}
                {share.received_ml !== share.fair_ml &&
                  `, ${unit(Math.abs(share.received_ml - share.fair_ml), 'mL')} ${share.received_ml > share.fair_ml ? 'more' : 'less'} than the shares say`}
              </StaveRow>
            ))}
          </StaveList>
        </div>
      ))}
      {vessel.draws.length > 0 && (
        <>
          <Section class="gap6">
            <h2 class="lead b">What was taken</h2>
            {over && <p class="red gap3">{over}</p>}
          </Section>
          <StaveList label="What was taken">
            {vessel.draws.map((draw) => (
              <Draw key={draw.act} draw={draw} when={nearDayOf(Date.parse(draw.happened_at), now)} />
            ))}
          </StaveList>
        </>
      )}
      {sheet === 'blend' && <BlendSheet vessel={vessel} onClose={() => setSheet(null)} onSaid={onSaid} />}
      {sheet === 'wood' && <WoodSheet vessel={vessel} onClose={() => setSheet(null)} />}
      {sheet === 'discard' && <DiscardSheet vessel={vessel} onClose={() => setSheet(null)} onSaid={onSaid} />}
    </Screen>
  );
}

/** What came of it where two phones drew for an odd bottle at once. */
function Apart({ bottling }: { bottling: ShownVessel['bottlings'][number] }) {
  const words = drawnApartWords(bottling, (person) => (person ? nameOf(person) : 'the club'));
  return words && <p class="note ink gap3">{words}</p>;
}

/** What one act took, and into which wood where it went back. */
function Draw({ draw, when }: { draw: ShownVessel['draws'][number]; when: string }) {
  const into = barrelBy(draw.into ?? '');
  return (
    <StaveRow title={`${litres(draw.volume_l)} ${DONE[draw.collection] ?? 'taken'}`}>
      <Note>
        {into && (
          <>
            Into{' '}
            <a class="link" href={`/barrels/${into.id}/log`}>
              {into.name}
            </a>
            ,{' '}
          </>
        )}
        {when}
      </Note>
    </StaveRow>
  );
}
