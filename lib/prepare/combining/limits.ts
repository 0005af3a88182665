import { MAD_TO_SIGMA, sorted } from '../../plane/robust.ts';
import { upperMedian } from '../../plane/select.ts';
import { bandFilters } from './band-filters.ts';
import { type Excess, excessRoom, measureExcess } from './excess.ts';
import { HALO, type Patch } from './patches.ts';

/** Brightness is divided into at most so many bins that hold as many pixels each: noise grows with light. */
const MOST_BINS = 20;
/** A bin with fewer pixels says too little. */
const FEWEST = 200;
/** Pixels looked at. */
const LOOKS = 1 << 17;

/** Middle and deviation of an excess in each bin of brightness. */
export interface BinLimits {
  readonly middle: Float32Array;
  readonly deviation: Float32Array;
}

/** What a master differs by from the others without any outlier: a pixel, a mean of 3 × 3, a mean of 7 × 7. */
export interface MasterLimits {
  readonly pixel: BinLimits;
  readonly three: BinLimits;
  readonly seven: BinLimits;
}

export interface ExcessLimits {
  /** Upper bounds of all bins but the last. */
  readonly bounds: Float32Array;
  readonly masters: readonly MasterLimits[];
}

/** The bin of a brightness. */
export const binOf = (bounds: Float32Array, level: number): number => {
  let low = 0;
  let high = bounds.length;
  while (low < high) {
    const half = (low + high) >> 1;
    if (level < bounds[half]!) high = half;
    else low = half + 1;
  }
  return low;
};

/** The bin of each brightness. Neighbours are alike, so that of the one before is looked at first. */
export const binsOf = (bounds: Float32Array, levels: Float32Array, into: Uint8Array): void => {
  let bin = 0;
  let [from, to] = [Number.NEGATIVE_INFINITY, Number.NEGATIVE_INFINITY];
  for (let i = 0; i < into.length; i++) {
    const level = levels[i]!;
    if (!(level >= from && level < to)) {
      bin = binOf(bounds, level);
      from = bin === 0 ? Number.NEGATIVE_INFINITY : bounds[bin - 1]!;
      to = bin === bounds.length ? Number.POSITIVE_INFINITY : bounds[bin]!;
    }
    into[i] = bin;
  }
};

/**
 * Finds the limits from patches of which each plane was brought to one scale.
 * @param noises of each master from pixel to pixel: no deviation is taken for less
 */
export const findLimits = (patches: readonly Patch[], noises: readonly number[]): ExcessLimits => {
  const samples = sampleExcess(patches);
  const bins = Math.max(1, Math.min(MOST_BINS, Math.floor(samples.levels.length / FEWEST)));
  const rising = sorted(samples.levels);
  const bounds = Float32Array.from(
    { length: bins - 1 },
    (_, k) => rising[Math.floor(((k + 1) * rising.length) / bins)]!,
  );
  const members = membersOf(samples.levels, bounds, bins);
  const masters = samples.masters.map((found, i) => ({
    pixel: limitsOf(found.pixel, members, noises[i]!),
    three: limitsOf(found.three, members, noises[i]! / 3),
    seven: limitsOf(found.seven, members, noises[i]! / 7),
  }));
  return { bounds, masters };
};

/** Which samples fall into each bin. */
const membersOf = (levels: Float32Array, bounds: Float32Array, bins: number): number[][] => {
  const members = Array.from({ length: bins }, (): number[] => []);
  for (let k = 0; k < levels.length; k++) members[binOf(bounds, levels[k]!)]!.push(k);
  return members;
};

const limitsOf = (values: Float32Array, members: readonly (readonly number[])[], least: number): BinLimits => {
  const middle = new Float32Array(members.length);
  const deviation = new Float32Array(members.length);
  const own = new Float32Array(values.length);
  for (const [bin, some] of members.entries()) {
    for (let k = 0; k < some.length; k++) own[k] = values[some[k]!]!;
    const centre = upperMedian(own, some.length);
    for (let k = 0; k < some.length; k++) own[k] = Math.abs(own[k]! - centre);
    middle[bin] = centre;
    deviation[bin] = Math.max(least, MAD_TO_SIGMA * upperMedian(own, some.length));
  }
  return { middle, deviation };
};

interface ExcessSamples {
  readonly levels: Float32Array;
  readonly masters: readonly Readonly<Record<keyof MasterLimits, Float32Array>>[];
}

/** Brightness and excesses at pixels spread evenly over patches, where every master is defined. */
const sampleExcess = (patches: readonly Patch[]): ExcessSamples => {
  const { width, rows, planes } = patches[0]!;
  const shape = { width, rows: rows + 2 * HALO };
  const filters = bandFilters(shape);
  const excess = excessRoom(shape, planes.length);
  const scratch = [new Float32Array(width * shape.rows), new Float32Array(width * shape.rows)] as const;
  const step = Math.ceil((patches.length * width * rows) / LOOKS) | 1;
  const room = patches.length * Math.ceil((width * rows) / step);
  const take = () => new Float32Array(room);
  const levels = take();
  const masters = planes.map(() => ({ pixel: take(), three: take(), seven: take() }));
  let start = 0;
  for (const patch of patches) {
    measureExcess(patch.planes, excess, filters, scratch);
    const places = placesOf(patch, step);
    places.forEach((at, k) => {
      levels[start + k] = excess.level[at]!;
    });
    for (const [i, into] of masters.entries())
      for (const [kind, radius] of KINDS) {
        const values = meansOf(excess, i, radius, filters, scratch[0]);
        places.forEach((at, k) => {
          into[kind][start + k] = values[at]!;
        });
      }
    start += places.length;
  }
  const cut = (values: Float32Array) => values.subarray(0, start);
  return {
    levels: cut(levels),
    masters: masters.map(({ pixel, three, seven }) => ({ pixel: cut(pixel), three: cut(three), seven: cut(seven) })),
  };
};

const KINDS = [
  ['pixel', 0],
  ['three', 1],
  ['seven', 3],
] as const;

const meansOf = (
  { over }: Excess,
  i: number,
  radius: number,
  filters: ReturnType<typeof bandFilters>,
  scratch: Float32Array,
): Float32Array => {
  if (radius === 0) return over[i]!;
  filters.mean(over[i]!, scratch, radius);
  return scratch;
};

/** Every `step`-th pixel of a patch that all masters define. */
const placesOf = ({ width, rows, planes }: Patch, step: number): number[] => {
  const places: number[] = [];
  for (let at = HALO * width; at < (HALO + rows) * width; at += step)
    if (planes.every((plane) => !Number.isNaN(plane[at]!))) places.push(at);
  return places;
};
