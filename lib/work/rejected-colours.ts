/** Red, green and blue, 0…255, of the pixels left out of each master, by its number. */
export const REJECTED_COLOURS: readonly (readonly [red: number, green: number, blue: number])[] = [
  [255, 160, 40],
  [70, 200, 255],
  [240, 110, 220],
  [190, 235, 90],
  [255, 90, 80],
  [150, 130, 255],
  [60, 220, 170],
];

/** Of pixels that were left out of several masters. */
export const REJECTED_IN_SEVERAL = [255, 255, 255] as const;

/** A colour as CSS writes it: `#ffa028`. */
export const hexOf = (colour: readonly number[]): string =>
  `#${colour.map((value) => value.toString(16).padStart(2, '0')).join('')}`;
