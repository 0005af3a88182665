import type { Settled } from '../recipe/settle/settled.ts';
import { noiseLeft } from '../smooth/noise-model.ts';

/** Said wherever the noise after smoothing is. */
export const SMOOTHED_HOW =
  'The noise after smoothing follows from its kernels and from how neighbouring pixels go together. ' +
  'It holds where only noise shows; where signal shows, more noise is left.';

/**
 * The share of the noise of each settled channel, 0…1, that smoothing leaves in a pixel where nothing but noise shows; 1
 * for a line that is not smoothed. See `noiseLeft`.
 */
export const noiseShares = ({ channels, smooth }: Pick<Settled, 'channels' | 'smooth'>): number[] =>
  channels.map(({ name }) =>
    smooth?.lines.includes(name) ? noiseLeft(smooth.scales, smooth.noise[name]!.neighbours, smooth.strength) : 1,
  );
