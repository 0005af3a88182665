import type { Channel } from '../measure/measure.ts';
import { throwIfCancelled } from '../plane/errors.ts';
import { type StripOptions, samplesFor, stripRows } from '../plane/strips.ts';
import { finishedFunction, mixedFunction, type PixelFunction } from '../recipe/settle/pixel.ts';
import type { Settled } from '../recipe/settle/settled.ts';
import { sourcesFor } from '../render/picture.ts';

/** What can be said against a pixel; kinds are added, for one pixel can be of two. */
export const MARKS = {
  /** The mix asks for less than none of a colour: the gamut method changes it. */
  outside: 1,
  /** The mix reaches full strength in a colour: highlights hold it there. */
  full: 2,
  /** A line has no data. */
  undefined: 4,
  /** The mix asks for no light in any colour: the pixel is black. */
  black: 8,
} as const;

export type MarkName = keyof typeof MARKS;

/** Marks of every pixel, top first, and the share of pixels, 0…1, that has each. */
export interface MarkedPicture {
  readonly width: number;
  readonly height: number;
  readonly marks: Uint8Array<ArrayBuffer>;
  readonly share: Readonly<Record<MarkName, number>>;
}

/** How far outside the range a value may be by rounding alone. */
const ROUNDING = 1e-6;

/**
 * Looks at every pixel of prepared channels as it is mixed, before highlights and gamut hide what they bring back.
 * @param options `pause` lets other work in between two strips
 */
export const markPicture = async (
  channels: readonly Channel[],
  settled: Settled,
  { signal, pause }: Pick<StripOptions, 'signal'> & { readonly pause?: () => Promise<void> } = {},
): Promise<MarkedPicture> => {
  const sources = sourcesFor(settled, channels);
  const { width, height } = sources[0]!;
  const judge = judgeOf(settled);
  const marks = new Uint8Array(width * height);
  const most = Math.min(height, stripRows(width));
  const inputs = sources.map((source) => samplesFor(source, most * width));
  for (let y = 0; y < height; y += most) {
    throwIfCancelled(signal);
    const rows = Math.min(most, height - y);
    for (const [c, source] of sources.entries()) await source.readRows(y, rows, inputs[c]!);
    for (let i = 0; i < rows * width; i++) marks[y * width + i] = judge(inputs, i);
    await pause?.();
  }
  return { width, height, marks, share: sharesOf(marks) };
};

const sharesOf = (marks: Uint8Array): MarkedPicture['share'] => {
  // Few combinations of marks occur, in many pixels.
  const counts = new Uint32Array(1 + Object.values(MARKS).reduce((sum, mark) => sum + mark, 0));
  for (const kinds of marks) counts[kinds]!++;
  const share = (mark: number) =>
    counts.reduce((sum, count, kinds) => sum + (kinds & mark ? count : 0), 0) / marks.length;
  const { outside, full, undefined: missing, black } = MARKS;
  return { outside: share(outside), full: share(full), undefined: share(missing), black: share(black) };
};

const judgeOf = (settled: Settled) => {
  const mixed = mixedFunction(settled);
  const finished = finishedFunction(settled);
  const physical = new Float64Array(settled.channels.length);
  const rgb = new Float64Array(3);
  const after = new Float64Array(3);
  return (inputs: readonly ArrayLike<number>[], i: number): number => {
    for (let c = 0; c < physical.length; c++) {
      const value = inputs[c]![i]!;
      if (!Number.isFinite(value)) return MARKS.undefined;
      physical[c] = value;
    }
    mixed(physical, rgb);
    const below = isOutside(rgb) || (finished !== undefined && leaves(finished, physical, after));
    const most = Math.max(rgb[0]!, rgb[1]!, rgb[2]!);
    const [full, black] = [most >= 1 - ROUNDING, most <= ROUNDING];
    return (below ? MARKS.outside : 0) | (full ? MARKS.full : 0) | (black ? MARKS.black : 0);
  };
};

const isOutside = (rgb: Float64Array): boolean => Math.min(rgb[0]!, rgb[1]!, rgb[2]!) < -ROUNDING;

/** Whether the finish takes a colour out of the space: it works on light, where a step of black is smaller. */
const leaves = (finished: PixelFunction, physical: Float64Array, rgb: Float64Array): boolean => {
  finished(physical, rgb);
  return isOutside(rgb);
};
