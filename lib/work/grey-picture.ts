import { throwIfCancelled } from '../plane/errors.ts';
import type { PlaneSource, Samples } from '../plane/plane.ts';
import { samplesFor, stripRows } from '../plane/strips.ts';

/** A grey picture: red, green, blue, alpha with 8 bits each, top first. */
export interface GreyPicture {
  readonly width: number;
  readonly height: number;
  readonly data: Uint8ClampedArray<ArrayBuffer>;
}

/** Whoever makes a picture for the page lets other calls in between two strips. */
export interface GreyOptions {
  readonly signal?: AbortSignal;
  readonly pause?: () => Promise<void>;
}

/**
 * Sources of one size as one grey picture.
 * @param greyOf the grey of pixel `i` of a strip, 0…255 and clamped to it; NaN for a pixel to be seen through
 */
export const greyPicture = async (
  sources: readonly PlaneSource[],
  greyOf: (strip: readonly Samples[], i: number) => number,
  { signal, pause }: GreyOptions = {},
): Promise<GreyPicture> => {
  const { width, height } = sources[0]!;
  const data = new Uint8ClampedArray(4 * width * height);
  const most = Math.min(height, stripRows(width));
  const strip = sources.map((source) => samplesFor(source, most * width));
  for (let y = 0; y < height; y += most) {
    throwIfCancelled(signal);
    const rows = Math.min(most, height - y);
    for (const [k, source] of sources.entries()) await source.readRows(y, rows, strip[k]!);
    for (let i = 0; i < rows * width; i++) {
      const grey = greyOf(strip, i);
      data.set([grey, grey, grey, Number.isNaN(grey) ? 0 : 255], 4 * (y * width + i));
    }
    await pause?.();
  }
  return { width, height, data };
};
