import type { Settled } from '../recipe/settled.ts';
import { correlationOf, independent, propagate } from './covariance.ts';
import {
  forQuantities,
  jacobianAt,
  type OutputFunction,
  outputFunction,
  QUANTITY_ROWS,
  type Quantity,
} from './outputs.ts';

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

/** Noise at one place of the picture. */
export interface LedgerPlace {
  /** Physical value and noise of each line, in the order of the settled channels. */
  readonly values: readonly number[];
  readonly lineNoise: readonly number[];
  /** Outputs there: see OUTPUTS. */
  readonly outputs: readonly number[];
  /** Derivatives: a row an output, a column a line. */
  readonly jacobian: readonly (readonly number[])[];
  /** Covariance and correlation of red, green and blue display values. */
  readonly covariance: readonly (readonly number[])[];
  readonly correlation: readonly (readonly number[])[];
  /** Standard deviation of one pixel. */
  readonly noise: Readonly<Record<Quantity, number>>;
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

/** What a mix costs in noise: at the background and, where readings of a box are given, there. */
export interface Ledger {
  /** Line names, in the order of every array here. */
  readonly lines: readonly string[];
  readonly background: LedgerPlace;
  readonly box?: LedgerBox;
}

/**
 * What a mix costs in noise: the lines' noise carried through stretch, mix and every later step to first order,
 * at the background and, where readings of a box are given, there too. Lines are taken as independent of one another.
 * Source: JCGM 102:2011, 6.2.
 * @throws RangeError where a settled channel has no stats: a defect of the caller.
 */
export const ledger = (settled: Settled, stats: readonly LineStats[]): Ledger => {
  const lines = settled.channels.map(({ name }) => {
    const found = stats.find((s) => s.name === name);
    if (found === undefined) throw new RangeError(`no stats for channel ${name}`);
    return found;
  });
  const outputs = outputFunction(settled);
  const background = placeAt(
    settled,
    outputs,
    lines.map((l) => l.background),
  );
  const boxes = lines.flatMap(({ box }) => box ?? []);
  const names = lines.map(({ name }) => name);
  if (boxes.length < lines.length) return { lines: names, background };
  return { lines: names, background, box: boxAt(placeAt(settled, outputs, boxes), background, boxes) };
};

const placeAt = (settled: Settled, outputs: OutputFunction, readings: readonly Reading[]): LedgerPlace => {
  const values = readings.map(({ value }) => value);
  const lineNoise = readings.map(({ noise }) => noise);
  const jacobian = jacobianAt(settled, outputs, values);
  const covariance = propagate(jacobian.slice(0, 3), independent(lineNoise));
  const parts = forQuantities((q) => sensitivities(jacobian, q).map((c, i) => (c * lineNoise[i]!) ** 2));
  const noise = forQuantities((q) => Math.sqrt(sum(parts[q])));
  return {
    values,
    lineNoise,
    outputs: [...outputs(values)],
    jacobian,
    covariance,
    correlation: correlationOf(covariance),
    noise,
    shares: forQuantities((q) => parts[q].map((v) => (noise[q] > 0 ? v / noise[q] ** 2 : 0))),
  };
};

/** By how much a quantity moves for one unit of each line: the root of the summed squares of its rows. */
export const sensitivities = (jacobian: LedgerPlace['jacobian'], quantity: Quantity): number[] =>
  jacobian[0]!.map((_, i) => Math.hypot(...QUANTITY_ROWS[quantity].map((row) => jacobian[row]![i]!)));

const boxAt = (place: LedgerPlace, background: LedgerPlace, boxes: readonly BoxReading[]): LedgerBox => {
  const rise = place.outputs.map((v, k) => v - background.outputs[k]!);
  const signal = forQuantities((q) => {
    const parts = QUANTITY_ROWS[q].map((row) => rise[row]!);
    return parts.length === 1 ? parts[0]! : Math.hypot(...parts);
  });
  const meanNoise = (q: Quantity) =>
    Math.sqrt(
      sum(
        sensitivities(place.jacobian, q).map(
          (c, i) => (c * boxes[i]!.noise * boxes[i]!.area) ** 2 / Math.max(1, boxes[i]!.pixels),
        ),
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
