import { Press } from '~/components/press/index.tsx';
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
  club_weight: number;
  onShare: (sharers: { person: string; weight: number }[], club_weight: number) => void;
}

/** What comes out of vessels: whose it was and what it brings, and the shares that what each gave would make. */
export function OutOfVessels({ mix, vessels, sharers, club_weight, onShare }: OutOfVesselsProps) {
  const rows = mix.parts.filter(({ part, volume_l }) => part.vessel && volume_l > 0);
  if (rows.length === 0) return null;
  const gave = gaveOf(mix, vessels);
  const suggested = suggestedShares(gave);
  const isSo = asText(suggested.sharers, suggested.club_weight) === asText(sharers, club_weight);
  const leftOut = leftOutSentence(gave, sharers, nameOf);
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
      {leftOut && <p class="due">{leftOut}</p>}
      {suggested.sharers.length > 0 && !isSo && (
        <div>
          <Press onPress={() => onShare(suggested.sharers, suggested.club_weight)}>
            Share it by what each gave
          </Press>
        </div>
      )}
    </div>
  );
}

const asText = (shares: readonly { person: string; weight: number }[], club_weight: number): string =>
  `${club_weight} of the club, ` +
  [...shares]
    .sort((a, b) => a.person.localeCompare(b.person))
    .map(({ person, weight }) => `${person} ${weight}`)
    .join();
