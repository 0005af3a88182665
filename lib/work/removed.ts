import { smallerBy } from '../recipe/settle/prepared.ts';
import { smallerSmoothing } from '../smooth/preview.ts';
import { type GreyOptions, type GreyPicture, greyPicture } from './grey-picture.ts';
import type { View } from './view.ts';

/** The noise that lies between nothing, which is middle grey, and black or white. */
const REACH = 4;
const MIDDLE = 128;

/**
 * What smoothing took from a line of a view: middle grey where nothing, lighter where light was taken away, darker where
 * light was added; white and black at 4 times the noise of a pixel of this size. Alpha is 0 where the line has no data.
 * Undefined where the line is not smoothed.
 * @param part whether the view shows a part of the frame at full size, rather than all of it
 */
export const removedPicture = async (
  { settled, channels, unsmoothed }: Pick<View, 'settled' | 'channels' | 'unsmoothed'>,
  line: string,
  part: boolean,
  options: GreyOptions = {},
): Promise<GreyPicture | undefined> => {
  const { smooth } = settled;
  if (!smooth?.lines.includes(line)) return undefined;
  const sources = [unsmoothed, channels].map((of) => of.find(({ name }) => name === line)!.source);
  const noise = [smooth.noise[line]!];
  const by = part ? 1 : smallerBy(smooth, channels);
  const { variance } = smallerSmoothing({ ...smooth, noise, guide: 0, lines: [0] }, by).noise[0]!;
  const scale = (MIDDLE - 1) / (REACH * Math.sqrt(variance));
  return greyPicture(sources, ([before, after], i) => MIDDLE + scale * (before![i]! - after![i]!), options);
};
