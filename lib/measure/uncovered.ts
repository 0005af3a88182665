import { countMarked, createMask, type Mask, uniteMasks } from '../plane/mask.ts';
import type { PlaneSource, Samples } from '../plane/plane.ts';
import { ofPieces } from '../plane/progress.ts';
import { eachStrip, type StripOptions } from '../plane/strips.ts';
import { firstCounts } from './passes.ts';

export interface Uncovered {
  /** Pixels undefined in any channel; no mask where there is none. */
  readonly mask: Mask | undefined;
  /** Undefined pixels by channel. */
  readonly counts: ReadonlyMap<string, number>;
}

/** Where the common coverage ends. Rows are looked through again only where counting found pixels without data. */
export const findUncovered = async (
  channels: readonly { readonly name: string; readonly source: PlaneSource }[],
  options: StripOptions,
): Promise<Uncovered> => {
  let mask: Mask | undefined;
  const counts = new Map<string, number>();
  const progress = ofPieces(channels.length, options.progress);
  const first = await Promise.all(
    channels.map(async ({ source }, i) => {
      const { missing } = await firstCounts(source, { ...options, progress: progress(i) });
      progress(i)(1);
      return missing;
    }),
  );
  for (const [i, { name, source }] of channels.entries()) {
    const missing = first[i]!;
    counts.set(name, missing);
    if (missing > 0) mask = uniteMasks(await undefinedPixels(source, missing, options), mask);
  }
  return { mask, counts };
};

/** The pixels of one source that are not finite; hidden ones are known beforehand. */
const undefinedPixels = async (source: PlaneSource, missing: number, options: StripOptions): Promise<Mask> => {
  const hidden = source.raw?.hidden;
  if (hidden !== undefined && countMarked(hidden) === missing) return hidden;
  const mask = createMask(source.width, source.height);
  const look = (data: Samples, y: number) => {
    for (let k = 0; k < data.length; k++) {
      if (Number.isFinite(data[k])) continue;
      const x = k % source.width;
      mask.bits[(y + (k - x) / source.width) * mask.stride + (x >> 3)]! |= 1 << (x & 7);
    }
  };
  await eachStrip(source, look, { signal: options.signal });
  return mask;
};
