import { Press } from '~/components/press/index.tsx';
import { Note } from '~/components/words/index.tsx';
import type { ShownVessel } from '~/outbox/overlay-glass.ts';
import { About } from '../mix/vessel.tsx';
import { nameOf } from '../parts/me.ts';
import type { Mix } from '../words/mix-plan.ts';
import { gaveOf, gaveSentence, leftOutSentence, suggestedShares } from '../words/mix-vessel.ts';
import { litres } from '../words/numbers.ts';

interface OutOfVesselsProps {
  mix: Mix;
  vessels: readonly ShownVessel[];
  sharers: readonly { person: string; weight: number }[];
  onShare: (sharers: { person: string; weight: number }[]) => void;
}

/** What comes out of vessels: whose it was and what it brings, and the shares that what each gave would make. */
export function OutOfVessels({ mix, vessels, sharers, onShare }: OutOfVesselsProps) {
  const rows = mix.parts.filter(({ part, volume_l }) => part.vessel && volume_l > 0);
  if (rows.length === 0) return null;
  const gave = gaveOf(mix, vessels);
  const suggested = suggestedShares(gave);
  const isSo = asText(suggested) === asText(sharers);
  const leftOut = leftOutSentence(gave, sharers, nameOf);
  const hasClub = gave.some(({ person }) => person === null);
  return (
    <div class="stack gap3">
      <ul aria-label="Out of vessels">
        {rows.map(({ part, volume_l }) => {
          const vessel = vessels.find((one) => one.id === part.vessel);
          return (
            <li key={part.key} class="fill__gate">
              <p>
                {litres(volume_l)} out of {part.name}
              </p>
              {vessel && <About vessel={vessel} />}
            </li>
          );
        })}
      </ul>
      <p>{gaveSentence(gave, nameOf)}</p>
      {suggested.length > 0 && hasClub && (
        <Note>The club holds no share beside sharers: what it gave goes by their shares.</Note>
      )}
      {leftOut && <p class="due">{leftOut}</p>}
      {suggested.length > 0 && !isSo && (
        <div>
          <Press onPress={() => onShare(suggested)}>Share it by what each gave</Press>
        </div>
      )}
    </div>
  );
}

const asText = (shares: readonly { person: string; weight: number }[]): string =>
  [...shares]
    .sort((a, b) => a.person.localeCompare(b.person))
    .map(({ person, weight }) => `${person} ${weight}`)
    .join();
