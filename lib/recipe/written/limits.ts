// Apart from the schema, so that who needs only these does not load its checker.

/** The version of recipes that this code reads and writes. */
export const RECIPE_VERSION = 2;

/** Weights larger than this are mistakes. */
export const WEIGHT_RANGE = [-1000, 1000] as const;

/** Scales that smoothing can look at. */
export const SCALES_RANGE = [2, 6] as const;
/** Most pixels that the light of a star is followed to where a recipe does not say. */
export const USUAL_STAR_RADIUS = 64;
/** What smoothing looks at where a recipe does not say. */
export const USUAL_SCALES = 4;
