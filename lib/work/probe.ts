import { decodeRgb, oklchOf } from '../colour/convert.ts';
import { SPACES } from '../colour/spaces.ts';
import { spreadAt } from '../hours/spread.ts';
import type { Channel } from '../measure/measure.ts';
import { cropped } from '../plane/cropped.ts';
import type { Triple } from '../plane/linear.ts';
import type { PlaneSource } from '../plane/plane.ts';
import { type StripOptions, samplesFor } from '../plane/strips.ts';
import { neededChannels } from '../recipe/settle/channels.ts';
import { pictureLayers } from '../recipe/settle/layered.ts';
import { mixedFunction, pixelFunction, stretchFunction } from '../recipe/settle/pixel.ts';
import { preparedChannels } from '../recipe/settle/prepared.ts';
import type { Settled } from '../recipe/settle/settled.ts';
import type { Recipe } from '../recipe/written/schema.ts';
import { type OpenLines, type Zeros, zerosOf } from './open-lines.ts';
import type { OpenStars } from './open-stars.ts';
import { starLayerOf, valuesWithStars } from './probe-stars.ts';

/** A pixel of the masters that is looked at through a mix. */
export interface ProbeWish {
  readonly recipe: Recipe;
  /** Full-size pixel, counted from 0 at the top left. */
  readonly x: number;
  readonly y: number;
  /** Other mixes whose colour of the same pixel is asked for; undefined for one that cannot be made. */
  readonly others?: readonly { readonly id: string; readonly recipe: Recipe | undefined }[];
  /** The stars that lie over all mixes. */
  readonly stars?: OpenStars | undefined;
  /** The noise of one pixel in each line of the mix, as the ledger has it; undefined where it is not known. */
  noise?(): Promise<Readonly<Record<string, number>> | undefined>;
}

/** What one line brings to a pixel. */
export interface ProbedLine {
  readonly name: string;
  /** As in the master, in its units; NaN where it has no data. */
  readonly value: number;
  /** Strength after black point, white point and curve, 0…1. */
  readonly strength: number;
  /** Weight times strength in red, green and blue, before any other step. */
  readonly brings: Triple;
}

/** A colour as it is written. */
export interface ProbedColour {
  /** Display values of the recipe's space, 0…1. */
  readonly rgb: Triple;
  /** Lightness 0…1, chroma, hue in degrees. */
  readonly oklch: Triple;
}

export interface ProbeAnswer {
  readonly x: number;
  readonly y: number;
  readonly space: Settled['space'];
  readonly lines: readonly ProbedLine[];
  /** Absent where a line has no data. */
  readonly colour?: ProbedColour;
  /** The mix before highlights and gamut brought it into range. */
  readonly mixed?: Triple;
  /** What one pixel's display values vary by, from the noise of one pixel in each line; absent until that is known. */
  readonly noise?: Triple;
  /** The same pixel in the other mixes; those that cannot be made are left out. */
  readonly others: readonly { readonly id: string; readonly colour?: ProbedColour }[];
}

/**
 * Reads one pixel of each master and follows it through the mix.
 * @throws LinewashError as settling does; RangeError where the pixel lies outside the picture.
 */
export const probePixel = async (
  lines: OpenLines,
  { recipe, x, y, others = [], stars, noise }: ProbeWish,
  options: StripOptions = {},
): Promise<ProbeAnswer> => {
  const row = rowReader(lines, y);
  const look = async (plain: Recipe) => {
    const { settled } = await lines.settle(plain, options);
    const channels = await row(neededChannels(plain), zerosOf(plain), options);
    // Smoothing, stars and spots look at other rows too.
    const layered = settled.smooth || settled.ownStars || settled.channels.some(({ spots }) => spots);
    const whole = layered ? await lines.full(neededChannels(plain), zerosOf(plain), options) : channels;
    const { channels: prepared, stars: own } = pictureLayers(settled, whole);
    const physical = await valuesAt(prepared, x, y);
    const raw = await valuesAt(preparedChannels(withoutPreparation(settled), channels), x, y);
    const layer = physical.every(Number.isFinite)
      ? await starLayerOf(prepared, settled, own, stars, plain, options)
      : undefined;
    const over = layer && (await valuesWithStars(prepared, layer, { x, y }, options));
    return { settled, physical, raw, colour: colourAt(settled, physical, over) };
  };
  const { settled, physical, raw, colour } = await look(recipe);
  const colours: { id: string; colour?: ProbedColour }[] = [];
  for (const other of others) {
    const seen = other.recipe && (await look(other.recipe).catch(() => undefined));
    if (seen) colours.push({ id: other.id, ...seen.colour });
  }
  const known = physical.every(Number.isFinite);
  const deviations = known ? await noise?.() : undefined;
  return {
    x,
    y,
    space: settled.space,
    lines: linesAt(settled, physical, raw),
    ...colour,
    ...(known && { mixed: run(mixedFunction(settled), physical) }),
    ...(deviations && { noise: noiseAt(settled, deviations, physical) }),
    others: colours,
  };
};

const withoutPreparation = ({ channels }: Settled) => ({ channels: channels.map(({ name }) => ({ name })) });

/** Channels of which one row is known; each master is read once, however many mixes are looked at. */
const rowReader = (lines: OpenLines, y: number) => {
  const rows = new Map<string, PlaneSource>();
  return async (names: readonly string[], zeros: Zeros, options: StripOptions): Promise<Channel[]> => {
    const found: Channel[] = [];
    for (const { name, source } of await lines.full(names, zeros, options)) {
      const key = `${name} ${zeros}`;
      if (!rows.has(key)) rows.set(key, await oneRow(source, y));
      found.push({ name, source: rows.get(key)! });
    }
    return found;
  };
};

const oneRow = async (source: PlaneSource, y: number): Promise<PlaneSource> => {
  if (!(y >= 0 && y < source.height)) throw new RangeError(`row ${y} lies outside the picture`);
  const row = samplesFor(source, source.width);
  await source.readRows(y, 1, row);
  return {
    ...source,
    raw: undefined,
    async readRows(_y, _rows, into) {
      into.set(row as never);
    },
  };
};

const valuesAt = async (channels: readonly Channel[], x: number, y: number): Promise<number[]> => {
  const values: number[] = [];
  for (const { source } of channels) {
    if (!(x >= 0 && x < source.width)) throw new RangeError(`column ${x} lies outside the picture`);
    const part = cropped(source, { x, y, width: 1, height: 1 });
    const one = samplesFor(source, 1);
    await part.readRows(0, 1, one);
    values.push(one[0]!);
  }
  return values;
};

const run = (step: ReturnType<typeof pixelFunction>, physical: readonly number[]): Triple => {
  const rgb = new Float64Array(3);
  step(physical, rgb);
  return [rgb[0]!, rgb[1]!, rgb[2]!];
};

const linesAt = (settled: Settled, physical: readonly number[], raw: readonly number[]): ProbedLine[] => {
  const strengths = new Float64Array(physical.length);
  stretchFunction(settled)(physical, strengths);
  return settled.channels.map(({ name }, c) => {
    const strength = Number.isFinite(physical[c]!) ? strengths[c]! : Number.NaN;
    const brought = (row: number) => settled.matrix[row]![c]! * strength;
    return { name, value: raw[c]!, strength, brings: [brought(0), brought(1), brought(2)] };
  });
};

/** @param shown display values that stand instead of those of the mix */
const colourAt = (settled: Settled, physical: readonly number[], shown?: Triple): { colour?: ProbedColour } => {
  if (!physical.every(Number.isFinite)) return {};
  const space = SPACES[settled.space];
  const rgb = shown ?? run(pixelFunction(settled), physical);
  return { colour: { rgb, oklch: oklchOf(decodeRgb(rgb, space), space) } };
};

/** With the noise of the sky: light of the object itself varies a little more. */
const noiseAt = (settled: Settled, pixel: Readonly<Record<string, number>>, physical: readonly number[]): Triple => {
  const deviations = settled.channels.map(({ name }) => pixel[name] ?? 0);
  const { covariance } = spreadAt(settled, physical, deviations);
  const deviation = (band: number) => Math.sqrt(covariance[band]![band]!);
  return [deviation(0), deviation(1), deviation(2)];
};
