/** What a screen hands over to be recorded. The times and the schema are added when it is kept. */

import type { components } from '../api/schema.d.ts';

type Shapes = components['schemas'];

/** Added by `record` where a screen does not say otherwise, or by the server. */
type Filled = 'schema' | 'happened_at' | 'entered_at' | 'time_typed';

/** The keys that have a value on the server when they are not sent. */
type Defaulted =
  | 'replicate'
  | 'is_well'
  | 'is_filling_up'
  | 'is_solution'
  | 'quarantine'
  | 'oak_wish'
  | 'allergens_seen'
  | 'is_private'
  | 'open_to_tasting'
  | 'sharers'
  | 'walking_order'
  | 'is_club';

type Body<Input> = Omit<Input, Filled | Defaulted> &
  Partial<Pick<Input, Extract<keyof Input, Filled | Defaulted>>>;

export type TastingBody = Body<Shapes['TastingInput']>;
export type TendingBody = Body<Shapes['TendingInput']>;
export type ReadingBody = Body<Shapes['ReadingInput']>;
export type FillBody = Body<Shapes['FillInput']>;
export type RecipeBody = Body<Shapes['RecipeInput']>;
export type ReservationBody = Body<Shapes['ReservationInput']>;
export type TroubleBody = Body<Shapes['TroubleInput']>;

/** By collection, as the OpenAPI file has them. */
export interface Bodies {
  barrels: Body<Shapes['BarrelInput']>;
  places: Body<Shapes['PlaceInput']>;
  people: Body<Shapes['PersonInput']>;
  curings: Body<Shapes['CuringInput']>;
  'curing-verdicts': Body<Shapes['CuringVerdictInput']>;
  fills: FillBody;
  decants: Body<Shapes['DecantInput']>;
  holds: Body<Shapes['HoldInput']>;
  drainings: Body<Shapes['DrainingInput']>;
  tendings: TendingBody;
  readings: ReadingBody;
  tastings: TastingBody;
  moves: Body<Shapes['MoveInput']>;
  ownerships: Body<Shapes['OwnershipInput']>;
  retirements: Body<Shapes['RetirementInput']>;
  repairs: Body<Shapes['RepairInput']>;
  loans: Body<Shapes['LoanInput']>;
  'loan-returns': Body<Shapes['LoanReturnInput']>;
  'tag-issues': Body<Shapes['TagIssueInput']>;
  troubles: TroubleBody;
  'trouble-settlements': Body<Shapes['TroubleSettlementInput']>;
  voids: Body<Shapes['VoidInput']>;
  'photo-removals': Body<Shapes['PhotoRemovalInput']>;
  'tray-decisions': Body<Shapes['TrayDecisionInput']>;
  reservations: ReservationBody;
  recipes: RecipeBody;
  'pull-votes': Body<Shapes['PullVoteInput']>;
  pulls: Body<Shapes['PullInput']>;
  blends: Body<Shapes['BlendInput']>;
  discards: Body<Shapes['DiscardInput']>;
  bottlings: Body<Shapes['BottlingInput']>;
  flights: Body<Shapes['FlightInput']>;
  'blind-tastings': Body<Shapes['BlindTastingInput']>;
  'flight-closings': Body<Shapes['FlightClosingInput']>;
  'flight-cancellations': Body<Shapes['FlightCancellationInput']>;
  samples: Body<Shapes['SampleInput']>;
  'bottle-changes': Body<Shapes['BottleChangeInput']>;
  'reservation-decisions': Body<Shapes['ReservationDecisionInput']>;
}

export type Collection = keyof Bodies;
