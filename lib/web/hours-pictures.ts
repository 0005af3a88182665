import { noiseByValue, sameStepBack, withFewerHours } from '../hours/fewer.ts';
import { smoothAsHours } from '../hours/smooth.ts';
import type { Channel } from '../measure/measure.ts';
import type { Box } from '../plane/box.ts';
import { cropped } from '../plane/cropped.ts';
import { planeSource } from '../plane/memory-plane.ts';
import type { Plane } from '../plane/plane.ts';
import { samplesFor } from '../plane/strips.ts';
import type { NoiseOfMix } from '../work/noise.ts';
import { renderForScreen, type ScreenPicture } from './screen.ts';
import { handOver } from './wire/rpc.ts';

/** What of the hours to come is shown, and where. */
export interface OutlookWish {
  /** The part to be shown, in full-size pixels inside the picture. */
  readonly part: Box;
  /** Hours planned by line; none where a line is not named. */
  readonly added: Readonly<Record<string, number>>;
}

/** One part of the picture, pixel for pixel, at three amounts of noise. */
export interface HoursPictures {
  /** With noise added, as it was the same step ago: see `sameStepBack`. */
  readonly back: ScreenPicture;
  readonly now: ScreenPicture;
  /** With noise taken off by means at the price of detail: see `smoothAsHours`. */
  readonly smooth: ScreenPicture;
}

/** Means reach no further than this. */
const MARGIN = 16;

/**
 * What planned hours are worth, as far as that can be shown. Where the hours of a line are not known, its noise is left
 * as it is.
 */
export const outlookPictures = async (
  { mix: { settled, channels: prepared }, exposures, surveys }: NoiseOfMix,
  { part, added }: OutlookWish,
  signal: AbortSignal,
): Promise<HoursPictures> => {
  const hours = exposures.map(({ name, hours = 0 }) => ({ spent: hours, added: hours > 0 ? (added[name] ?? 0) : 0 }));
  const plans = hours.map((h) => h.added);
  const shares = sameStepBack(hours, plans).map((share) => (share > 0 ? share : 1));
  const noise = surveys.map(({ background, box }) => noiseByValue(background, box));
  const wide = widened(part, prepared[0]!.source);
  const planes = await Promise.all(prepared.map(({ source }) => planeOf(cropped(source, wide))));
  const inner = { ...part, x: part.x - wide.x, y: part.y - wide.y };
  const shown = (change: (plane: Plane, line: number) => Plane) => {
    const channels = prepared.map(({ name, source }, i) => ({
      name,
      source: cropped(planeSource(source.file, change(planes[i]!, i)), inner),
    }));
    return renderForScreen({ channels }, settled, signal);
  };
  const back = await shown((plane, i) => withFewerHours(plane, noise[i]!, shares[i]!, i + 1));
  const now = await shown((plane) => plane);
  const smooth = await shown((plane, i) => smoothAsHours(plane, 1 / shares[i]!));
  return handOver(
    { back, now, smooth },
    [back, now, smooth].map(({ data }) => data.buffer),
  );
};

const widened = ({ x, y, width, height }: Box, picture: { readonly width: number; readonly height: number }): Box => {
  const left = Math.max(0, x - MARGIN);
  const top = Math.max(0, y - MARGIN);
  return {
    x: left,
    y: top,
    width: Math.min(picture.width, x + width + MARGIN) - left,
    height: Math.min(picture.height, y + height + MARGIN) - top,
  };
};

const planeOf = async (source: Channel['source']): Promise<Plane> => {
  const { width, height } = source;
  const data = samplesFor(source, width * height);
  await source.readRows(0, height, data);
  return { width, height, data: Float32Array.from(data) };
};
