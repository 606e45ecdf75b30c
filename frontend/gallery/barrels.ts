import type { BarrelPicture } from '~/components/draw/picture.ts';

/** Invented barrels for looking at the components; levels are those of true geometry. */
export const slackWater: BarrelPicture = {
  name: 'Slack Water',
  tag: 'SLKW5',
  capacityL: 5,
  contents: 'spirit',
  levelLow: 0.75,
  levelHigh: 0.785,
  volumeLowL: 4.1,
  volumeHighL: 4.3,
  woodUsedLow: 0.28,
  woodUsedHigh: 0.4,
  woodWords: 'wood for one to three more fills',
  sharers: [
    { initials: 'S', weight: 2, you: true },
    { initials: 'W', weight: 2 },
    { initials: 'M', weight: 2 },
  ],
};

export const leeShore: BarrelPicture = {
  name: 'Lee Shore',
  tag: 'LEESH',
  capacityL: 10,
  contents: 'spirit',
  levelLow: 0.8,
  levelHigh: 0.82,
  volumeLowL: 8.6,
  volumeHighL: 8.8,
};

export const fairway: BarrelPicture = {
  name: 'Fairway',
  tag: 'FAIRW',
  capacityL: 5,
  contents: 'water',
  hold: true,
  levelLow: 0.47,
  levelHigh: 0.485,
  volumeLowL: 2.3,
  volumeHighL: 2.4,
  bungClock: 4,
  woodUsedLow: 0.5,
  woodUsedHigh: 0.7,
};

export const neap: BarrelPicture = {
  name: 'Neap',
  tag: 'NEAP2',
  capacityL: 2,
  contents: 'water',
  hold: true,
  levelLow: 0.437,
  levelHigh: 0.463,
  volumeLowL: 0.83,
  volumeHighL: 0.9,
  bungClock: 8,
  woodUsedLow: 0.45,
  woodUsedHigh: 0.7,
};

export const overfall: BarrelPicture = {
  name: 'Overfall',
  tag: 'OVRFL',
  capacityL: 2,
  contents: 'water',
  levelLow: 0.924,
  levelHigh: 0.954,
  volumeLowL: 1.92,
  volumeHighL: 1.97,
  wrong: 'will not seal',
  beads: [
    { at: 272, mlPerDay: 22 },
    { at: 231, mlPerDay: 9 },
    { at: 184, mlPerDay: 0, dry: true },
  ],
};

export const springTide: BarrelPicture = {
  name: 'Spring Tide',
  tag: 'SPRTD',
  capacityL: 20,
  contents: 'spirit',
  levelLow: 0.832,
  levelHigh: 0.854,
  volumeLowL: 18.2,
  volumeHighL: 18.6,
};

export const riptide: BarrelPicture = {
  name: 'Riptide',
  tag: 'RIPTD',
  capacityL: 10,
  contents: 'pale',
  levelLow: 0.84,
  levelHigh: 0.86,
  volumeLowL: 9.1,
  volumeHighL: 9.3,
};

export const bare: BarrelPicture = {
  name: 'Doldrum',
  tag: 'DOLDR',
  capacityL: 2,
  contents: 'empty',
  woodUsedLow: 1,
  woodUsedHigh: 1,
};

export const quarantined: BarrelPicture = { ...leeShore, name: 'Squall', tag: 'SQUAL', quarantine: true };
export const hidden: BarrelPicture = { ...leeShore, name: 'Scend', tag: 'SCEND', isPrivate: true };
