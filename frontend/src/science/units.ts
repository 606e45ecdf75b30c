/**
 * Numbers that know their unit: litres cannot be passed for centimetres, nor percent for a fraction. A brand is a word
 * of the compiler only; at run time each is a plain number, and the rooms check its range.
 */

declare const unit: unique symbol;

export type Quantity<Unit extends string> = number & { readonly [unit]: Unit };

/** Strength at 20 °C [% vol]. */
export type AbvPct = Quantity<'% vol'>;
/** US degrees of proof at 60 °F. */
export type UsProof = Quantity<'US proof'>;
/** Share of the whole [0 to 1], never percent. */
export type Fraction = Quantity<'0 to 1'>;
export type Celsius = Quantity<'°C'>;
export type KgM3 = Quantity<'kg/m3'>;
export type GramsPerLitre = Quantity<'g/L'>;
export type MilligramsPerLitre = Quantity<'mg/L'>;
export type Litres = Quantity<'L'>;
export type Kilograms = Quantity<'kg'>;
export type Grams = Quantity<'g'>;
export type Centimetres = Quantity<'cm'>;
export type SquareCentimetres = Quantity<'cm2'>;
export type SquareMetres = Quantity<'m2'>;
export type Millimetres = Quantity<'mm'>;
export type SquareDecimetres = Quantity<'dm2'>;
export type Millilitres = Quantity<'mL'>;
export type Hours = Quantity<'h'>;
export type Days = Quantity<'days'>;
export type Degrees = Quantity<'degrees of arc'>;
export type Kilopascals = Quantity<'kPa'>;

const as =
  <Unit extends string>() =>
  (value: number): Quantity<Unit> =>
    value as Quantity<Unit>;

export const abvPct = /* @__PURE__ */ as<'% vol'>();
export const usProof = /* @__PURE__ */ as<'US proof'>();
export const fraction = /* @__PURE__ */ as<'0 to 1'>();
export const celsius = /* @__PURE__ */ as<'°C'>();
export const kgM3 = /* @__PURE__ */ as<'kg/m3'>();
export const gramsPerLitre = /* @__PURE__ */ as<'g/L'>();
export const milligramsPerLitre = /* @__PURE__ */ as<'mg/L'>();
export const litres = /* @__PURE__ */ as<'L'>();
export const kilograms = /* @__PURE__ */ as<'kg'>();
export const grams = /* @__PURE__ */ as<'g'>();
export const centimetres = /* @__PURE__ */ as<'cm'>();
export const squareCentimetres = /* @__PURE__ */ as<'cm2'>();
export const squareMetres = /* @__PURE__ */ as<'m2'>();
export const millimetres = /* @__PURE__ */ as<'mm'>();
export const squareDecimetres = /* @__PURE__ */ as<'dm2'>();
export const millilitres = /* @__PURE__ */ as<'mL'>();
export const hours = /* @__PURE__ */ as<'h'>();
export const days = /* @__PURE__ */ as<'days'>();
export const degrees = /* @__PURE__ */ as<'degrees of arc'>();
export const kilopascals = /* @__PURE__ */ as<'kPa'>();
