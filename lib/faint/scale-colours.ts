/** Red, green and blue, 0…255. */
export type Colour = readonly [red: number, green: number, blue: number];

/** Of outlines, from a scale of 4 pixels on by doublings. */
export const SCALE_COLOURS: readonly Colour[] = [
  [255, 220, 90],
  [250, 160, 70],
  [240, 100, 100],
  [215, 110, 210],
  [110, 165, 255],
  [80, 215, 200],
  [180, 240, 130],
];

/** The colour of outlines of a scale in pixels. */
export const colourOfScale = (scale: number): Colour => SCALE_COLOURS[Math.round(Math.log2(scale / 4))]!;
