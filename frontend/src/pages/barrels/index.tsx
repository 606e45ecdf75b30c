import './style.css';
import { useState } from 'preact/hooks';
import type { Barrel } from '~/api/types.ts';
import { Choice } from '~/components/choice/index.tsx';
import { Empty } from '~/components/empty/index.tsx';
import { Field } from '~/components/field/index.tsx';
import { Loading } from '~/components/loading/index.tsx';
import { Press } from '~/components/press/index.tsx';
import { Screen } from '~/components/screen/index.tsx';
import { Section } from '~/components/section/index.tsx';
import { Sill } from '~/components/sill/index.tsx';
import { StaveList } from '~/components/stave-list/index.tsx';
import { Title } from '~/components/words/index.tsx';
import { barrels, placeBy, places } from '~/outbox/overlay.ts';
import { BarrelRow } from '../parts/barrel-row.tsx';
import { moment, nowMs } from '../parts/clock.ts';
import { isFirstLoad } from '../parts/first-load.ts';
import { Fresh } from '../parts/fresh.tsx';
import { isKeeper } from '../parts/me.ts';
import { insideNow, STATES, stateSentence, volumeWords, woodWords } from '../words/barrel.ts';
import { dueLines, dueSentence, harmfullyLate, lateSentenceOf } from '../words/care.ts';
import { capital, counted } from '../words/numbers.ts';
import { foundBarrels, type Search } from '../words/search.ts';
import { troubleVerdict } from '../words/trouble.ts';

/** All barrels, with their live level. */
export default function Barrels() {
  const [search, setSearch] = useState<Search>({ text: '', place: '', state: '' });
  const all = barrels.value;
  const shown = foundBarrels(all, search);
  const isFiltered = search.text !== '' || search.place !== '' || search.state !== '';
  const change = (part: Partial<Search>) => setSearch({ ...search, ...part });
  const states = Object.entries(STATES).filter(([state]) => all.some((barrel) => barrel.state === state));
  return (
    <Screen
      title="Barrels"
      glow="right"
      top={{ back: { href: '/', label: 'Home' }, right: <Fresh /> }}
      announce={isFiltered ? `${counted(shown.length, 'barrel', 'barrels')} found.` : undefined}
      sill={
        <Sill
          left={{ label: 'Reserve', href: '/reserve' }}
          act={{ label: 'Scan', href: '/scan' }}
          right={isKeeper() ? { label: 'Report', href: '/report' } : { label: 'Mine', href: '/mine' }}
        />
      }
    >
      <Section>
        <Title>Barrels</Title>
        <p class="note gap1">
          {isFiltered
            ? `${capital(counted(shown.length, 'barrel', 'barrels'))} of ${all.length}.`
            : countsSentence(all)}
        </p>
        <div class="barrels__search">
          <Field
            label="Name or tag"
            type="search"
            value={search.text}
            onInput={(text) => change({ text })}
            autoCapitalize="none"
          />
          <Choice
            label="Place"
            value={search.place}
            onChange={(place) => change({ place })}
            options={[
              { value: '', label: 'All places' },
              ...places.value.map((place) => ({ value: place.id, label: place.name })),
            ]}
          />
          <Choice
            label="State"
            value={search.state}
            onChange={(state) => change({ state })}
            options={[
              { value: '', label: 'Any state' },
              ...states.map(([value, label]) => ({ value, label })),
            ]}
          />
        </div>
      </Section>
      {isFirstLoad() ? (
        <Loading />
      ) : shown.length === 0 ? (
        <Section>
          <Empty>
            {isFiltered ? (
              <>
                <p>No barrel is called or stands like that.</p>
                <button
                  type="button"
                  class="link"
                  onClick={() => setSearch({ text: '', place: '', state: '' })}
                >
                  Show all
                </button>
              </>
            ) : (
              <>
                <p>No barrels yet.{isKeeper() ? '' : ' The keeper adds the first.'}</p>
                {isKeeper() && <Press href="/adopt">Register the first</Press>}
              </>
            )}
          </Empty>
        </Section>
      ) : (
        <StaveList label="Barrels">
          {shown.map((barrel) => (
            <Row key={barrel.id} barrel={barrel} />
          ))}
        </StaveList>
      )}
    </Screen>
  );
}

function countsSentence(all: Barrel[]): string {
  const count = (state: string): number => all.filter((barrel) => barrel.state === state).length;
  if (all.length === 0) return '';
  const said = (number: number, one: string, many: string): string =>
    number === 0 ? `none ${one}` : counted(number, one, many);
  const parts = [
    said(count('filled'), 'is filled', 'are filled'),
    said(count('held'), 'rests in water', 'rest in water'),
  ];
  return `${capital(parts[0]!)}, ${parts[1]}.`;
}

function Row({ barrel }: { barrel: Barrel }) {
  const now = moment();
  const late = harmfullyLate(barrel, now);
  const trouble = barrel.state === 'retired' ? undefined : barrel.troubles[0];
  const due = dueLines(barrel.care, now);
  const inside = insideNow(barrel, nowMs.value);
  const proud = trouble || late ? 'red' : undefined;
  const place = placeBy(barrel.place)?.name;
  return (
    <BarrelRow barrel={barrel} proud={proud} tone={barrel.state === 'retired' ? 'done' : undefined}>
      {trouble && <span class="ink">{troubleVerdict(trouble.kind)} </span>}
      {late && !trouble ? lateSentenceOf(barrel, late, now) : stateSentence(barrel, now)}{' '}
      {inside && barrel.contents?.kind !== 'curing' && (
        <span class="barrels__inside">
          {barrel.contents ? (
            <>
              <span class="reck">{capital(volumeWords(inside))}</span> of {capacity(barrel)}.{' '}
            </>
          ) : null}
        </span>
      )}
      {barrel.state !== 'retired' && !late && due.length > 0 && <span class="due">{dueSentence(due)} </span>}
      <span class="barrels__more">
        {capital(woodWords(barrel))}.{place ? ` ${place}.` : ''}
      </span>
    </BarrelRow>
  );
}

const capacity = (barrel: Barrel): string => `${Number(barrel.capacity_l.toFixed(1))}\u00a0L`;
