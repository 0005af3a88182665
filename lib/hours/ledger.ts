import type { Settled } from '../recipe/settle/settled.ts';
import { correlationOf } from './covariance.ts';
import { forQuantities, type OutputFunction, outputFunction, QUANTITY_ROWS, type Quantity } from './outputs.ts';
import { noiseShares, SMOOTHED_HOW } from './smoothed-noise.ts';
import { type Spread, spreadAt } from './spread.ts';

/** A line's value at one place and the standard deviation of one pixel there, both in file units. */
export interface Reading {
  readonly value: number;
  readonly noise: number;
}

/** A reading of a box: its mean, and how its noise averages. */
export interface BoxReading extends Reading {
  /** Pixels with data. */
  readonly pixels: number;
  /** Noise of the mean of n pixels is noise · area / √n: 1 for independent pixels, more where neighbours go together. */
  readonly area: number;
}

/** What the ledger must know of one line. */
export interface LineStats {
  readonly name: string;
  readonly background: Reading;
  readonly box?: BoxReading | undefined;
}

/** Noise at one place of the picture: `noise` is that of one pixel. */
export interface LedgerPlace extends Spread {
  /** Physical value and noise of each line, in the order of the settled channels. */
  readonly values: readonly number[];
  readonly lineNoise: readonly number[];
  /** Outputs there: see OUTPUTS. */
  readonly outputs: readonly number[];
  /** Correlation of red, green and blue display values. */
  readonly correlation: readonly (readonly number[])[];
  /** Each line's share of the variance, 0…1; all 0 where nothing varies. */
  readonly shares: Readonly<Record<Quantity, readonly number[]>>;
}

/** The box: its noise, and how far it stands out from the background. */
export interface LedgerBox extends LedgerPlace {
  readonly pixels: number;
  /** Difference from the background; a distance for `chroma` and `colour`. */
  readonly signal: Readonly<Record<Quantity, number>>;
  /** Signal over the noise of one pixel, and over the noise of the mean of all pixels of the box. */
  readonly snr: Readonly<Record<Quantity, number>>;
  readonly snrOfMean: Readonly<Record<Quantity, number>>;
}

/** The noise of a smoothed mix at a place of the background where nothing but noise shows. */
export interface LedgerSmoothed {
  /** The share of each line's noise that smoothing leaves there; 1 for a line that is not smoothed. */
  readonly left: readonly number[];
  readonly background: LedgerPlace;
  /** How this was found, and where more is left: a sentence. */
  readonly how: string;
}

/** What a mix costs in noise before any smoothing: at the background and, where readings of a box are given, there. */
export interface Ledger {
  /** Line names, in the order of every array here. */
  readonly lines: readonly string[];
  readonly background: LedgerPlace;
  readonly box?: LedgerBox;
  /** After smoothing; absent where nothing is smoothed. */
  readonly smoothed?: LedgerSmoothed;
}

/**
 * What a mix costs in noise: the lines' noise carried through stretch, mix and every later step (see `spreadAt`),
 * at the background and, where readings of a box are given, there too. Lines are taken as independent of one another.
 * Source: JCGM 102:2011, 6.2. Of a smoothed mix the background is carried through twice, with each line's noise as it is
 * and as smoothing leaves it.
 * @throws RangeError where a settled channel has no stats: a defect of the caller.
 */
export const ledger = (settled: Settled, stats: readonly LineStats[]): Ledger => {
  const lines = settled.channels.map(({ name }) => {
    const found = stats.find((s) => s.name === name);
    if (found === undefined) throw new RangeError(`no stats for channel ${name}`);
    return found;
  });
  const outputs = outputFunction(settled);
  const sky = lines.map((l) => l.background);
  const background = placeAt(settled, outputs, sky);
  const boxes = lines.flatMap(({ box }) => box ?? []);
  const smoothed = settled.smooth && smoothedAt(settled, outputs, sky);
  return {
    lines: lines.map(({ name }) => name),
    background,
    ...(boxes.length === lines.length && { box: boxAt(placeAt(settled, outputs, boxes), background, boxes) }),
    ...(smoothed && { smoothed }),
  };
};

const smoothedAt = (settled: Settled, outputs: OutputFunction, sky: readonly Reading[]): LedgerSmoothed => {
  const left = noiseShares(settled);
  const calm = sky.map(({ value, noise }, i) => ({ value, noise: noise * left[i]! }));
  return { left, background: placeAt(settled, outputs, calm), how: SMOOTHED_HOW };
};

const placeAt = (settled: Settled, outputs: OutputFunction, readings: readonly Reading[]): LedgerPlace => {
  const values = readings.map(({ value }) => value);
  const lineNoise = readings.map(({ noise }) => noise);
  const spread = spreadAt(settled, values, lineNoise, outputs);
  const { noise, sensitivity, covariance } = spread;
  const share = (c: number, sigma: number, of: number) => (of > 0 ? (c * sigma) ** 2 / of ** 2 : 0);
  return {
    ...spread,
    values,
    lineNoise,
    outputs: [...outputs(values)],
    correlation: correlationOf(covariance),
    shares: forQuantities((q) => sensitivity[q].map((c, i) => share(c, lineNoise[i]!, noise[q]))),
  };
};

const boxAt = (place: LedgerPlace, background: LedgerPlace, boxes: readonly BoxReading[]): LedgerBox => {
  const rise = place.outputs.map((v, k) => v - background.outputs[k]!);
  const signal = forQuantities((q) => {
    const parts = QUANTITY_ROWS[q].map((row) => rise[row]!);
    return parts.length === 1 ? parts[0]! : Math.hypot(...parts);
  });
  const meanNoise = (q: Quantity) =>
    Math.sqrt(
      sum(
        place.sensitivity[q].map((c, i) => (c * boxes[i]!.noise * boxes[i]!.area) ** 2 / Math.max(1, boxes[i]!.pixels)),
      ),
    );
  const over = (noise: number, q: Quantity) => (noise > 0 ? Math.abs(signal[q]) / noise : 0);
  return {
    ...place,
    pixels: Math.min(...boxes.map(({ pixels }) => pixels)),
    signal,
    snr: forQuantities((q) => over(place.noise[q], q)),
    snrOfMean: forQuantities((q) => over(meanNoise(q), q)),
  };
};

const sum = (values: readonly number[]): number => values.reduce((a, b) => a + b, 0);
