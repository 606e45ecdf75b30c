/** Standard drinks: how much ethanol a country calls one. */

/** The World Health Organization's figure, until a club names its country (countries call 8 to 20 g a drink). */
export const WHO_DRINK_G = 10;
