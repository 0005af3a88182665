/**
 * What can be planted into a line's master, as plain data. Places are shares of the full frame, 0 to 1 from left to right
 * and from top to bottom, so that a frame of any size has them in the same place. Light is in electrons per second.
 */
export interface FlawOptions {
  readonly shadow?: ShadowOptions;
  readonly flats?: FlatsOptions;
  readonly trail?: TrailOptions;
  readonly hot?: HotOptions;
  readonly seam?: SeamOptions;
}

/** A soft dark patch that reaches in from an edge: an arm of the guider in the way of the light. */
export interface ShadowOptions {
  readonly edge: 'left' | 'right' | 'top' | 'bottom';
  /** Middle and width along the edge. */
  readonly middle: number;
  readonly width: number;
  /** How far it reaches into the frame, and how wide its soft border is. */
  readonly reach: number;
  readonly border: number;
  /** Share of the light that it takes. */
  readonly depth: number;
}

/** What the flats left uncorrected: light that falls off towards the corners, broad waves, and rings of dust. */
export interface FlatsOptions {
  readonly seed: number;
  /** About the greatest departure from 1. */
  readonly depth: number;
}

/** A straight line of light that was averaged in: what is left of a satellite. */
export interface TrailOptions {
  readonly from: readonly [x: number, y: number];
  readonly to: readonly [x: number, y: number];
  /** Full width at half maximum in pixels. */
  readonly width: number;
  /** Light on its middle. */
  readonly depth: number;
}

/** Single pixels that are too bright. */
export interface HotOptions {
  readonly seed: number;
  readonly perMegapixel: number;
  readonly faintest: number;
  readonly brightest: number;
}

/** To the right of a straight line from the top to the bottom edge fewer frames were averaged. */
export interface SeamOptions {
  readonly top: number;
  readonly bottom: number;
  /** Share of the subs that the right part got. */
  readonly share: number;
}
