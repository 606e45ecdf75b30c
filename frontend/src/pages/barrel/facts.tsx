import { Section } from '~/components/section/index.tsx';
import { placeBy, type ShownBarrel } from '~/outbox/overlay.ts';
import { moment } from '../parts/clock.ts';
import { nameOf } from '../parts/me.ts';
import { capacityWords, isOutline, SPIRITS } from '../words/barrel.ts';
import { dueLines, lateLines, taskAct } from '../words/care.ts';
import { carryOverSentence } from '../words/inside.ts';
import { capital, listed, litres, unit } from '../words/numbers.ts';
import { allergenWords, budgetWords } from '../words/taste.ts';
import { dayMonth, nearDayOf } from '../words/time.ts';

/** What stands behind the picture: the mix, the wood, the care and what it held. */
export function Facts({ barrel }: { barrel: ShownBarrel }) {
  const { contents } = barrel;
  const carry = carryOverSentence(barrel);
  const allergens = allergenWords(barrel);
  const shares = barrel.owners.map((share) => nameOf(share.person));
  return (
    <Section>
      <h2 class="sr">Particulars</h2>
      <dl class="facts">
        {contents?.kind === 'fill' && !isOutline(contents) && (
          <div>
            <dt>The fill</dt>
            <dd>
              {capital(contents.name ?? SPIRITS[contents.spirit ?? ''] ?? 'a fill')},{' '}
              {litres(contents.start_volume_l)}
              {contents.start_abv_pct !== null && (
                <>
                  {' '}
                  at {unit(Number(contents.start_abv_pct.toFixed(1)), '% vol')}
                  {contents.abv_basis === 'measured' ? ' measured' : ' calculated'}
                </>
              )}
              .
              {contents.parts && contents.parts.length > 0 && (
                <ul class="facts__list note">
                  {contents.parts.map((part) => (
                    <li key={part.name}>
                      {litres(part.volume_l)} {part.name}
                      {part.abv_pct > 0 && <>, {unit(Number(part.abv_pct.toFixed(1)), '%')}</>}
                    </li>
                  ))}
                </ul>
              )}
              <span class="note">
                Samples: {budgetWords(contents)}.{' '}
                {contents.open_to_tasting ? 'Open to tasting by any member.' : 'Only its sharers taste it.'}
              </span>
            </dd>
          </div>
        )}
        {allergens.length > 0 && (
          <div>
            <dt>May hold</dt>
            <dd class="ink">{capital(listed(allergens))}.</dd>
          </div>
        )}
        {carry && (
          <div>
            <dt>Carry-over</dt>
            <dd>{carry}</dd>
          </div>
        )}
        {barrel.state !== 'retired' && (
          <div>
            <dt>Care</dt>
            <dd>
              <Care barrel={barrel} />
            </dd>
          </div>
        )}
        <div>
          <dt>Wood</dt>
          <dd>
            {capital([barrel.wood, barrel.char].filter(Boolean).join(', ') || 'oak, not told which')}.{' '}
            {capacityWords(barrel)}. {!barrel.wood_spent && <FillsLeft barrel={barrel} />}
          </dd>
        </div>
        {barrel.held_before.length > 0 && (
          <div>
            <dt>It held</dt>
            <dd>
              <ul class="facts__list">
                {[...barrel.held_before].reverse().map((held) => (
                  <li key={`${held.ended_on}${held.name}`}>
                    {capital(held.name || SPIRITS[held.spirit ?? 'unknown'] || 'a fill')}, until{' '}
                    {dayMonth(held.ended_on)}
                  </li>
                ))}
              </ul>
            </dd>
          </div>
        )}
        <div>
          <dt>Stands</dt>
          <dd>
            {placeBy(barrel.place)?.name ?? 'Somewhere'}. Tag {barrel.tag_code}. Its wood is{' '}
            {shares.length > 0 ? `${listed(shares)}’s` : 'the club’s'}.
          </dd>
        </div>
      </dl>
    </Section>
  );
}

const KIND_WORDS: Record<string, string> = {
  agave: 'agave',
  cocktail: 'mixes',
  fortified_wine: 'fortified wine',
};

function FillsLeft({ barrel }: { barrel: ShownBarrel }) {
  const kinds = Object.entries(barrel.fills_left).filter(([kind]) => kind !== 'unknown');
  if (kinds.length === 0 || barrel.state === 'retired') return null;
  return (
    <span class="note">
      Fills left, about:{' '}
      {kinds
        .map(
          ([kind, [low = 0, high = low]]) =>
            `${KIND_WORDS[kind] ?? kind} ${Math.floor(low)} to ${Math.ceil(high)}`,
        )
        .join(', ')}
      .
    </span>
  );
}

function Care({ barrel }: { barrel: ShownBarrel }) {
  const now = moment();
  if (barrel.care.length === 0) return <>Nothing is due at it.</>;
  return (
    <ul class="facts__list">
      {barrel.care.map((line) => {
        const isDue = dueLines([line], now).length > 0;
        const isLate = lateLines([line], now).length > 0;
        const done = line.here_at ?? line.last_at;
        return (
          <li key={line.task}>
            {capital(taskAct(line.task))}
            <span class={isLate || isDue ? 'note due' : 'note'}>
              {' '}
              {line.here_at
                ? 'done, on this phone'
                : isLate
                  ? `late since ${nearDayOf(Date.parse(line.late_at), now)}`
                  : isDue
                    ? 'due now'
                    : nearDayOf(Date.parse(line.due_at), now)}
              {done && !line.here_at ? `; done ${nearDayOf(Date.parse(done), now)}` : ''}
            </span>
          </li>
        );
      })}
    </ul>
  );
}
