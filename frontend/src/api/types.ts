/** The shapes that cross the party wall, by the names the pages use. They are those of the OpenAPI file. */

import type { components } from './schema.d.ts';

type Shapes = components['schemas'];

export type Uuid = string;
/** An instant, ISO 8601 with an offset. */
export type Instant = string;
/** A day in the club's zone, YYYY-MM-DD. */
export type Day = string;

export type Role = Shapes['Role'];
export type BarrelState = Shapes['BarrelState'];
export type CapacityBasis = Shapes['CapacityBasis'];
export type StayKind = Shapes['StayKind'];
export type Placement = Shapes['Placement'];
export type ReservationState = Shapes['ReservationState'];
export type Spirit = Shapes['Spirit'];
export type Family = Shapes['Family'];
export type OffNote = Shapes['OffNote'];
export type Allergen = Shapes['Allergen'];
export type TendingTask = Shapes['TendingTask'];

/** What a model says: two ends and its central value. */
export type Range = Shapes['BandOutput'];
export type Share = Shapes['ShareOutput'];

export type Me = Shapes['MeOutput'];
export type Member = Shapes['MePersonOutput'];

export type Club = Shapes['ClubOutput'];
export type Place = Shapes['PlaceOutput'];
export type Person = Shapes['PersonOutput'];

/** The file can only say "a list of numbers"; it is always from and to. */
interface FromTo {
  fills_left: Record<string, [number, number]>;
}

export type Barrel = Omit<Shapes['BarrelOutput'], 'fills_left'> & FromTo;
export type Contents = Shapes['ContentsOutput'];
export type MixPart = Shapes['PartOutput'];
/** The computed course of a stay, one row of [low, mid, high] a step. */
export type NearCurve = Shapes['NearOutput'];
export type CareLine = Shapes['CareDueOutput'];
export type TroubleLine = Shapes['TroubleOutput'];

/** One line of a barrel's log; its body is null where the reader may not see a private fill. */
export type LogEntry = Shapes['LogEntryOutput'];
export type Recipe = Shapes['RecipeOutput'];
export type RecipePart = Shapes['RecipePartOutput'];
export type Ingredient = Shapes['Ingredient'];
export type FillGate = Shapes['FillGate'];
export type Photo = Shapes['PhotoOutput'];
export type Reservation = Shapes['ReservationOutput'];
export type Notice = Shapes['NoticeOutput'];
export type Joint = Shapes['JointInput'];
export type Sign = Shapes['Sign'];
/** What lies between barrel and bottle, as far as it is the reader's. */
export type Vessel = Shapes['VesselOutput'];
export type Bottle = Shapes['BottleOutput'];
/** A blind flight, as its reader may see it. */
export type Flight = Shapes['FlightOutput'];
export type BottleChange = Shapes['BottleChangeInput']['change'];

/** The answer to an act: where the server put it, and the row as it now stands. */
export type ActAnswer = Shapes['ActOutput'];
/** The answer to a reservation: what stands in its way, if anything does. */
export type ReservationAnswer = Shapes['ReservationAnswerOutput'];

export type ChangedCollection = Shapes['ChangedCollection'];
export type ChangedRow = Shapes['ChangeOutput'];
export type ChangesPage = Shapes['ChangesOutput'];

export type Suggestion = Shapes['SuggestionOutput'];
export type Suggestions = Shapes['SuggestionsOutput'];
export type Tray = Shapes['TrayOutput'];
export type TrayEntry = Shapes['TrayEntryOutput'];
export type ReportLine = Omit<Shapes['ReportBarrelOutput'], 'fills_left'> & FromTo;
export type Report = Omit<Shapes['ReportOutput'], 'barrels'> & { barrels: ReportLine[] };
