import type { Channel } from '../measure/measure.ts';
import type { Once } from '../plane/memo.ts';
import type { StripOptions } from '../plane/strips.ts';
import type { ChannelsResult } from '../recipe/settle/settle-channels.ts';
import type { Recipe } from '../recipe/written/schema.ts';

/** Whether zeros, and what resampling leaves of them, connected to the border are missing data, as recipes say it. */
export type Zeros = NonNullable<Recipe['zeros']>;

export const zerosOf = ({ zeros = 'undefined' }: Pick<Recipe, 'zeros'>): Zeros => zeros;

/** Numbers of a recipe settled on masters at full size, and what they rest on. */
export interface SettledLines extends ChannelsResult {
  /** What concerns the masters whatever the recipe: how they were combined, what does not fit. */
  readonly notes: readonly string[];
}

/**
 * Open masters, one a line: all that the verbs of this folder know of files. Node and the page implement it.
 * Channels come in the order of the names asked for. Each method throws LinewashError 'input' where a line has no
 * master, or masters differ in size.
 */
export interface OpenLines {
  /** All lines that have a master. */
  readonly names: readonly string[];
  /** Channels at full size, border zeros hidden or not. */
  full(names: readonly string[], zeros: Zeros, options?: StripOptions): Promise<readonly Channel[]>;
  /** Copies in memory whose longer side is at most `longest` pixels, each made once. */
  small(names: readonly string[], zeros: Zeros, longest: number, options?: StripOptions): Promise<readonly Channel[]>;
  /** Makes something of these lines, once for each of the last few keys: it is large. */
  readonly once: Once;
  /** Prepares and measures the lines that a recipe needs, at full size, and settles it on them. */
  settle(recipe: Recipe, options?: StripOptions): Promise<SettledLines>;
}
