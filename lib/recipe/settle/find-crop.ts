import { connectedToBorder } from '../../measure/border.ts';
import { type Channel, findUncovered } from '../../measure/measure.ts';
import type { Box } from '../../plane/box.ts';
import { cropped } from '../../plane/cropped.ts';
import { inputError } from '../../plane/errors.ts';
import { countMarked } from '../../plane/mask.ts';
import type { StripOptions } from '../../plane/strips.ts';
import { largestFree } from '../../prepare/coverage.ts';

export interface FoundCrop {
  readonly box: Box;
  readonly warnings: readonly string[];
}

/** A crop that leaves less than this share of the covered pixels is worth a word. */
const MUCH_LEFT = 0.5;

/**
 * The largest rectangle that all channels cover. Only missing data connected to the border counts: a single
 * dead pixel does not halve a picture. Undefined where nothing is missing at the border.
 * @throws LinewashError 'input' where no pixel is left.
 */
export const findCrop = async (
  channels: readonly Channel[],
  options: StripOptions = {},
): Promise<FoundCrop | undefined> => {
  const { mask } = await findUncovered(channels, options);
  if (mask === undefined) return undefined;
  const outside = connectedToBorder(mask);
  const missing = countMarked(outside);
  if (missing === 0) return undefined;
  const box = largestFree(outside);
  if (box === undefined) throw inputError('no pixel has data in all masters: nothing is left to crop to');
  const share = (box.width * box.height) / (mask.width * mask.height - missing);
  const figure = Math.round(100 * share);
  const warnings = share < MUCH_LEFT ? [`the crop keeps only ${figure} % of the pixels that all masters cover`] : [];
  return { box, warnings };
};

export const cropChannels = (channels: readonly Channel[], box: Box): Channel[] =>
  channels.map(({ name, source }) => ({ name, source: cropped(source, box) }));
