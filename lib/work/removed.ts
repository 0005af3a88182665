import { throwIfCancelled } from '../plane/errors.ts';
import { samplesFor, stripRows } from '../plane/strips.ts';
import { smallerBy } from '../recipe/settle/prepared.ts';
import { smallerSmoothing } from '../smooth/preview.ts';
import type { View } from './view.ts';

/** The noise that lies between nothing, which is middle grey, and black or white. */
const REACH = 4;
const MIDDLE = 128;

/** A grey picture: red, green, blue, alpha with 8 bits each, top first. */
export interface RemovedPicture {
  readonly width: number;
  readonly height: number;
  readonly data: Uint8ClampedArray<ArrayBuffer>;
}

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
  { signal, pause }: { readonly signal?: AbortSignal; readonly pause?: () => Promise<void> } = {},
): Promise<RemovedPicture | undefined> => {
  const { smooth } = settled;
  if (!smooth?.lines.includes(line)) return undefined;
  const [before, after] = [unsmoothed, channels].map((of) => of.find(({ name }) => name === line)!.source);
  const { width, height } = before!;
  const noise = [smooth.noise[line]!];
  const by = part ? 1 : smallerBy(smooth, channels);
  const { variance } = smallerSmoothing({ ...smooth, noise, guide: 0, lines: [0] }, by).noise[0]!;
  const scale = (MIDDLE - 1) / (REACH * Math.sqrt(variance));
  const data = new Uint8ClampedArray(4 * width * height);
  const most = Math.min(height, stripRows(width));
  const [x, less] = [samplesFor(before!, most * width), samplesFor(after!, most * width)];
  for (let y = 0; y < height; y += most) {
    throwIfCancelled(signal);
    const rows = Math.min(most, height - y);
    await before!.readRows(y, rows, x);
    await after!.readRows(y, rows, less);
    for (let i = 0; i < rows * width; i++) {
      const taken = x[i]! - less[i]!;
      const grey = MIDDLE + scale * taken;
      data.set([grey, grey, grey, Number.isFinite(x[i]!) ? 255 : 0], 4 * (y * width + i));
    }
    await pause?.();
  }
  return { width, height, data };
};
