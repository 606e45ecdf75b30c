/** Finding a barrel among many. */

import type { Barrel } from '~/api/types.ts';

export interface Search {
  text: string;
  place: string;
  state: string;
}

const plain = (text: string): string => text.normalize('NFD').replace(/\p{M}/gu, '').toLowerCase();

/** By name, tag or contents, without regard to accents and case; the retired ones last. */
export function foundBarrels<B extends Barrel>(barrels: B[], { text, place, state }: Search): B[] {
  const words = plain(text).split(/\s+/).filter(Boolean);
  return barrels
    .filter((barrel) => (!place || barrel.place === place) && (!state || barrel.state === state))
    .filter((barrel) => {
      const all = plain(`${barrel.name} ${barrel.tag_code} ${barrel.contents?.name ?? ''}`);
      return words.every((word) => all.includes(word));
    })
    .sort(
      (a, b) => Number(a.state === 'retired') - Number(b.state === 'retired') || a.name.localeCompare(b.name),
    );
}
