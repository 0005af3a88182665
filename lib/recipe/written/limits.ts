// Apart from the schema, so that who needs only these does not load its checker.

/** The version of recipes that this code reads and writes. */
export const RECIPE_VERSION = 2;

/** Weights larger than this are mistakes. */
export const WEIGHT_RANGE = [-1000, 1000] as const;

/** Scales that smoothing can look at. */
export const SCALES_RANGE = [2, 6] as const;
/** Most pixels that the light of a star is followed to where a recipe does not say. */
export const USUAL_STAR_RADIUS = 64;
/** More bright spots of a line are no hot pixels, and no list to keep. */
export const MOST_SPOTS = 10_000;
/** What smoothing looks at where a recipe does not say. */
export const USUAL_SCALES = 4;

/** What the numbers of a finish may be. */
export const FINISH_RANGES = {
  tone: [0, 1],
  gain: [0, 2.2],
  from: [0, 1],
  to: [0, 2],
  until: [0.01, 0.5],
  hue: [0, 360],
  width: [1, 180],
  bendChroma: [0, 2],
} as const;
export const MOST_TONE_POINTS = 16;
export const MOST_BENDS = 8;
/** What a finish does where a recipe does not say. */
export const USUAL_UNTIL = 0.3;
export const USUAL_BEND_WIDTH = 60;
/** From where a gain begins to where it counts in full, in OKLab lightness. */
export const USUAL_FADE = 0.25;
