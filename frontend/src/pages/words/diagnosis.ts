/**
 * What a sign in a barrel most likely means, what to do, and when to let go of the barrel. Rules of the trade, common
 * practice, no source; musty wood after chloroanisoles, and acetic bacteria in weak drink, are known from wine.
 */

import type { Sign } from '~/api/types.ts';

export interface Diagnosis {
  sign: Sign;
  label: string;
  likely: string;
  steps: string[];
  retireIf: string;
  quarantine: boolean;
}

export const DIAGNOSES: Diagnosis[] = [
  {
    sign: 'vinegar',
    label: 'Vinegar',
    likely: 'Acetic bacteria: air over weak drink.',
    steps: [
      'Do not fill it.',
      'Hot water twice, 60 to 80 °C, the bung out. It scalds: gloves, and never into a closed barrel.',
      'Holding solution for two to four weeks, by the keeper, outdoors. Then smell it again.',
    ],
    retireIf: 'It still smells: retire it for spirits.',
    quarantine: true,
  },
  {
    sign: 'nail_varnish',
    label: 'Nail varnish',
    likely: 'Ethyl acetate, from the same bacteria as vinegar.',
    steps: ['As for vinegar: hot water twice, holding solution, smell again.'],
    retireIf: 'It still smells: retire it for spirits.',
    quarantine: true,
  },
  {
    sign: 'musty',
    label: 'Musty, of cork',
    likely: 'Chloroanisoles in the wood, often from chlorinated water.',
    steps: ['Nothing reliable takes it out.'],
    retireIf: 'At once.',
    quarantine: true,
  },
  {
    sign: 'rotten_egg',
    label: 'Rotten egg or burnt match',
    likely: 'Sulphide, or too much sulphite.',
    steps: [
      'Air it, away from anybody with asthma.',
      'Rinse three times, soak a day in water, smell. Do it again.',
    ],
    retireIf: 'It is still there after three soaks.',
    quarantine: true,
  },
  {
    sign: 'slime',
    label: 'Slime or a film on the water',
    likely: 'Water that stood too long.',
    steps: [
      'Drain it. Hot water, 60 to 80 °C, 15 to 30 minutes, the bung out. It scalds.',
      'Rinse, then holding solution for a week, by the keeper, outdoors.',
    ],
    retireIf: 'It comes twice in a row.',
    quarantine: true,
  },
  {
    sign: 'fur_outside',
    label: 'Grey or white fur outside',
    likely: 'Mould on the surface, from damp air.',
    steps: [
      'Wipe it with 70 % spirit, far from any flame; that burns.',
      'Air the room, and bring its humidity under 80 %.',
    ],
    retireIf: 'It comes back with a musty smell inside.',
    quarantine: false,
  },
  {
    sign: 'previous_drink',
    label: 'Of the last drink',
    likely: 'What the wood drank. No fault.',
    steps: ['Soak it, or plan a fill that goes with it.'],
    retireIf: '',
    quarantine: false,
  },
  {
    sign: 'sound',
    label: 'Sweet, woody, vanilla',
    likely: 'Sound.',
    steps: ['Fill it.'],
    retireIf: '',
    quarantine: false,
  },
];

const bySign = new Map(DIAGNOSES.map((one) => [one.sign as string, one]));
export const diagnosisOf = (sign: string): Diagnosis | undefined => bySign.get(sign);
/** What is wrong, of all signs. */
export const OFF_SIGNS = DIAGNOSES.filter((one) => one.retireIf !== '');
