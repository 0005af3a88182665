/**
 * The noise of one line: variance of a pixel = variance + perCount · max(0, value − level), in units of the master, and
 * the correlation of direct neighbours along each axis (separable; pixels further apart share none).
 */
export interface LineNoise {
  readonly level: number;
  /** Of a pixel at the level; above 0. */
  readonly variance: number;
  /** How much the variance rises for each unit above the level: 1/(gain · subs) for counted light; 0 or more. */
  readonly perCount: number;
  /** 0 for white noise, at most 0.5. */
  readonly neighbours: number;
}
