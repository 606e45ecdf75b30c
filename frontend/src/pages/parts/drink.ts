/** How much ethanol this club calls one standard drink. */

import { club } from '~/outbox/overlay.ts';
import { WHO_DRINK_G } from '../words/drink.ts';

export const drinkG = (): number => club.value?.drink_g ?? WHO_DRINK_G;
