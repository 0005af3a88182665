import type { Channel } from '../measure/measure.ts';
import { type Box, boxWithin } from '../plane/box.ts';
import { cropped } from '../plane/cropped.ts';
import { inputError, throwIfCancelled } from '../plane/errors.ts';
import { type StripOptions, samplesFor } from '../plane/strips.ts';
import { stretchFunction } from '../recipe/settle/pixel.ts';
import type { Settled } from '../recipe/settle/settled.ts';

/** Side in pixels of the box that stands for a point: one pixel alone is mostly noise. */
const POINT = 3;

/** The box that is read for a pixel of a picture: 3 × 3 pixels around it, fewer at the border. */
export const boxAround = ({ x, y }: Pick<Box, 'x' | 'y'>, size: { width: number; height: number }): Box => {
  // A pixel outside the picture stays outside, so that it can be named.
  if (x >= size.width || y >= size.height) return { x, y, width: 1, height: 1 };
  const reach = POINT >> 1;
  return boxWithin({ x: x - reach, y: y - reach, width: POINT, height: POINT }, size);
};

/**
 * Mean strength of each line, 0…1, over the pixels of a box in which all lines have data.
 * @param channels prepared channels of the mix, at full size
 * @param name what messages call the box
 * @throws LinewashError 'input' where the box leaves the picture or holds no such pixel.
 */
export const strengthsIn = async (
  settled: Settled,
  channels: readonly Channel[],
  box: Box,
  name: string,
  { signal }: Pick<StripOptions, 'signal'>,
): Promise<number[]> => {
  const { width, height } = channels[0]!.source;
  if (box.x < 0 || box.y < 0 || box.x + box.width > width || box.y + box.height > height)
    throw inputError(
      `${name} leaves the picture, which has ${width} × ${height} pixels`,
      'pixels are counted from 0 at the top left',
    );
  const planes = [];
  for (const { source } of channels) {
    throwIfCancelled(signal);
    const data = samplesFor(source, box.width * box.height);
    await cropped(source, box).readRows(0, box.height, data);
    planes.push(data);
  }
  const stretch = stretchFunction(settled);
  const strengths = new Float64Array(planes.length);
  const sums = planes.map(() => 0);
  let count = 0;
  for (let i = 0; i < planes[0]!.length; i++) {
    const physical = planes.map((data) => data[i]!);
    if (!physical.every(Number.isFinite)) continue;
    stretch(physical, strengths);
    for (const [k, e] of strengths.entries()) sums[k]! += e;
    count++;
  }
  if (count === 0) throw inputError(`${name} has no pixel with data in all lines`, 'choose another place');
  return sums.map((sum) => sum / count);
};

/** Strength of each line, 0…1, from its value in file units. */
export const strengthsAt = (settled: Settled, physical: readonly number[]): number[] => {
  const strengths = new Float64Array(physical.length);
  stretchFunction(settled)(physical, strengths);
  return [...strengths];
};

/** What each line's strength varies by: half of what lies between a standard deviation (file units) more and one less. */
export const strengthNoise = (settled: Settled, values: readonly number[], noise: readonly number[]): number[] => {
  const [more, less] = [1, -1].map((sign) =>
    strengthsAt(
      settled,
      values.map((v, k) => v + sign * noise[k]!),
    ),
  );
  return more!.map((e, k) => Math.abs(e - less![k]!) / 2);
};
