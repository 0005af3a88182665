/** Zeros around each plane: as far as the taps of a step of 2 reach. */
export const MARGIN = 4;

/** Form of a plane in the memory of operations: rows of float32 with a margin of zeros on all sides. */
export interface Grid {
  /** A multiple of 8. */
  readonly width: number;
  readonly height: number;
  /** Floats from one row to the next. */
  readonly stride: number;
  /** Floats of the whole plane, margin included. */
  readonly floats: number;
}

export const gridOf = (width: number, height: number): Grid => {
  const stride = width + 2 * MARGIN;
  return { width, height, stride, floats: stride * (height + 2 * MARGIN) };
};

/** Index of the first value of a plane that starts at `plane`. */
export const firstOf = ({ stride }: Grid, plane: number): number => plane + MARGIN * stride + MARGIN;

/** In the place of a plane: every pixel is defined. */
export const NONE = -1;

/** What `shrink` takes and changes: indices of planes, and numbers of the line. */
export interface Shrinking {
  /** Coefficients of the line and of the guide in units of their noise. */
  readonly line: number;
  readonly guide: number;
  /** Sum of the guide's squares. */
  readonly guideEnergy: number;
  /** The line's smooth plane, which the noise depends on. */
  readonly smooth: number;
  /** Gets what is taken away added. */
  readonly removed: number;
  readonly inverse: number;
  readonly step: number;
  /** Of the noise of a coefficient, times the weight of the scale, times WINDOW. */
  readonly factor: number;
  readonly perCount: number;
}

/** How values become multiples of their noise. */
export interface Loading {
  readonly level: number;
  readonly scale: number;
  readonly farthest: number;
}

/**
 * Arithmetic on planes of one memory, given as the indices of their first float. All of it is float32, rounded after each
 * operation, in one order: every implementation gives the same bytes. `inverse` is a plane made by `invert`, or NONE.
 */
export interface Operations {
  /**
   * At least so many floats; what they hold is undefined where `layout` is not that of the call before, and all zeros
   * then. Views of earlier calls must not be used any more.
   */
  memory(floats: number, layout: string): Float32Array<ArrayBuffer>;
  /**
   * plane = (plane − level) · scale, where plane − level counts as `farthest` at most, either way; what is undefined (NaN, ±Infinity) becomes 0, and so does
   * the mask there. Whether anything is.
   */
  load(grid: Grid, plane: number, mask: number, to: Loading): boolean;
  /** plane = 0 where the mask is 0. */
  cover(grid: Grid, mask: number, plane: number): void;
  /** to = h∗from · inverse, h = [1 4 6 4 1]/16 in both directions, taps `step` apart. */
  smooth(grid: Grid, from: number, to: number, step: number, inverse: number): void;
  /** to = sum of from² over WINDOW pixels, `step` apart, · inverse. */
  energy(grid: Grid, from: number, to: number, step: number, inverse: number): void;
  /** weights = whole/weights where the mask is not 0, else 0. */
  invert(grid: Grid, mask: number, weights: number, whole: number): void;
  /** plane = (plane − smooth)/s, s = factor · √(1 + perCount · max(0, smooth)). */
  whiten(grid: Grid, plane: number, smooth: number, factor: number, perCount: number): void;
  /** removed += s · (y − kept)/WINDOW, s = factor · √(1 + perCount · max(0, smooth)): see docs/maths/smooth.md. */
  shrink(grid: Grid, planes: Shrinking): void;
  /** Every second pixel of every second row. */
  halve(fine: Grid, from: number, coarse: Grid, to: number): void;
  /** to += from at the pixels that were kept, linear between them, over what the mask defines. */
  raise(coarse: Grid, from: number, mask: number, fine: Grid, to: number): void;
}

/** Pixels that energies are summed over: 5 × 5. */
export const WINDOW = 25;
/** Energy, in units of the noise, up to which nothing is kept. */
export const THRESHOLD = 2;
/** How much the part that goes along with the guide is held back where the two hardly agree. */
export const GATE = 0.1;
