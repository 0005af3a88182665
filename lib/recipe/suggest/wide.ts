import type { Matrix } from '../../plane/linear.ts';
import { across, towardsHue } from './chroma-plane.ts';
import { calmestWeights, leadingContrasts } from './contrasts.ts';
import { judge } from './judge.ts';
import { warmth } from './lines.ts';
import { affordable, BUDGET, type Proposal, weightsAt } from './proposal.ts';
import type { LineSample } from './sample.ts';

/** OKLab hue of what is called warm: amber. Its opposite is a clear blue. */
const WARM = 62;
/** Knob values above the suggested 1 that stay usable. */
const MOST = 1.5;

/**
 * Lines to colours so that the two strongest contrasts of the data span the plane of chroma: for weights of given noise
 * no mix that keeps equal lines grey spreads colours further (to first order about a middle grey; any rotation in that
 * plane does as well, so hue is free). The first contrast runs from warm to cool with the wavelength; the second goes
 * either way across it.
 */
const parts = (sample: LineSample, variances: readonly number[], turn: 1 | -1): Pick<Proposal, 'base' | 'change'> => {
  const [first, second] = leadingContrasts(sample, variances) as [number[], number[]];
  const [main, cross] = [oriented(first, warmth(sample.names)), oriented(second, second.map(Math.abs))];
  const amber = towardsHue(WARM);
  const aside = across(amber).map((x) => turn * x);
  const weights = calmestWeights(variances);
  return {
    base: [weights, weights, weights],
    change: amber.map((a, r) => main.map((m, c) => a * m + aside[r]! * cross[c]!)),
  };
};

/** The contrast with the sign in which it goes along with `guide`; by its largest weight where that says nothing. */
const oriented = (contrast: readonly number[], guide: readonly number[]): number[] => {
  const along = contrast.reduce((sum, x, i) => sum + x * guide[i]!, 0);
  const largest = contrast.reduce((most, x) => (Math.abs(x) > Math.abs(most) ? x : most), 0);
  const sign = Math.abs(along) > 1e-9 ? along : largest;
  return contrast.map((x) => (sign < 0 ? -x : x));
};

const scaled = (matrix: Matrix, factor: number): number[][] => matrix.map((row) => row.map((w) => w * factor));

const KNOB = {
  name: 'colour',
  value: 1,
  min: 0,
  max: MOST,
  about: 'how much colour: 0 is grey, 1 as suggested; noise grows with it',
};

/** The two wide mixes, with the line that stands out of the main contrast on the green or on the rose side. */
export const widest = (sample: LineSample): Proposal[] => {
  const even = sample.names.map(() => 1);
  const between = namesBetween(sample, even);
  return ([1, -1] as const).map((turn) => {
    const { base, change } = parts(sample, even, turn);
    const knob = affordable({ base, change }, sample, BUDGET, 8);
    const side = turn > 0 ? 'green' : 'rose';
    return {
      id: `amber-to-blue-${side}`,
      name: `Amber to blue, with ${side}`,
      why:
        `Widest colours for their noise: ${between.main} becomes amber to blue, ` +
        `and where ${between.cross} departs from that the picture turns ${side}.`,
      base,
      change: scaled(change, knob),
      knob: KNOB,
    };
  });
};

/** Contrasts in words: the lines at their ends. */
const namesBetween = (sample: LineSample, variances: readonly number[]) => {
  const [first, second] = leadingContrasts(sample, variances) as [number[], number[]];
  const main = oriented(first, warmth(sample.names));
  const cross = oriented(second, second.map(Math.abs));
  const at = (values: readonly number[], pick: (...v: number[]) => number) =>
    sample.names[values.indexOf(pick(...values))]!;
  return { main: `${at(main, Math.max)} against ${at(main, Math.min)}`, cross: at(cross, Math.max) };
};

/** Noise on the screen, relative to a plain mix, above which a quiet mix has nothing to offer. */
const WORTH = 0.9;

/** As much colour as a plain mix gives, for the least noise that these lines' own noises allow. */
export const quiet = (sample: LineSample, plainSpread: number): Proposal[] => {
  const least = Math.max(...sample.noise) * 1e-3;
  if (!(least > 0)) return [];
  const variances = sample.noise.map((s) => Math.max(s, least) ** 2);
  const { base, change } = parts(sample, variances, -1);
  let [low, high] = [0, affordable({ base, change }, sample, BUDGET, 1e3)];
  const spread = (knob: number) => judge(weightsAt({ base, change }, knob), sample).spread;
  if (spread(high) < plainSpread) return [];
  for (let round = 0; round < 8; round++) {
    const middle = (low + high) / 2;
    if (spread(middle) < plainSpread) low = middle;
    else high = middle;
  }
  if (judge(weightsAt({ base, change }, high), sample).screenNoise > WORTH) return [];
  return [
    {
      id: 'quiet',
      name: 'Quiet',
      why: 'As much colour as a plain mix for the least noise: the noisier a line, the less it says.',
      base,
      change: scaled(change, high),
      knob: KNOB,
    },
  ];
};
