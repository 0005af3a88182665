import { throwIfCancelled } from './errors.ts';
import type { Executor } from './executor.ts';
import type { PlaneSource, Samples } from './plane.ts';

/** Pixels worked on at a time: fits the second-level cache of common processors with room for a few channels. */
export const STRIP_PIXELS = 1 << 17;

/** Rows of a strip for a picture of this width; at least one. */
export const stripRows = (width: number, pixels = STRIP_PIXELS): number => Math.max(1, Math.floor(pixels / width));

/** A band is so many times as high as the rows beyond it that are read again: little work is done twice. */
const HIGHER = 8;

/** Most pixels of a band that is made higher than a strip. */
export const MOST_PIXELS = 1 << 22;

/** Rows of a band where each depends on so many above and below: high, but of a bounded number of pixels. */
export const tallRows = (width: number, reach: number, most = MOST_PIXELS): number =>
  Math.max(reach, Math.min(HIGHER * reach, Math.floor(most / width)));

/** True where float32 does not hold every value of the type. */
export const isWide = (source: Pick<PlaneSource, 'type'>): boolean =>
  source.type === 'u32' || source.type === 'i32' || source.type === 'i64' || source.type === 'f64';

/** A buffer that holds `samples` values of this source without loss. */
export const samplesFor = (source: Pick<PlaneSource, 'type'>, samples: number): Samples =>
  isWide(source) ? new Float64Array(samples) : new Float32Array(samples);

/** How work by strips tells how far it is, and how it is stopped. */
export interface StripOptions {
  readonly signal?: AbortSignal | undefined;
  /** Called after each strip with the share done, 0…1. */
  readonly progress?: ((done: number) => void) | undefined;
  /** Who helps with heavy work, if anybody does. */
  readonly executor?: Executor | undefined;
}

/** Runs `visit` over all strips of one source from top to bottom; `data` is reused between calls. */
export const eachStrip = async (
  source: PlaneSource,
  visit: (data: Samples, y: number, rows: number) => void,
  options: StripOptions = {},
): Promise<void> => {
  const height = Math.min(source.height, stripRows(source.width));
  const data = samplesFor(source, height * source.width);
  for (let y = 0; y < source.height; y += height) {
    throwIfCancelled(options.signal);
    const rows = Math.min(height, source.height - y);
    await source.readRows(y, rows, data);
    visit(data.subarray(0, rows * source.width), y, rows);
    options.progress?.((y + rows) / source.height);
  }
};
