import { FULL_SCALE, noiseOf } from './camera.ts';
import { LINES } from './options.ts';
import { random } from './random.ts';
import type { LineTruth } from './truth.ts';

/** How many subs were averaged in pixel `i`. */
const subsAt = ({ subs, flaws }: LineTruth, i: number): number => flaws?.frames[i] ?? subs;

/**
 * One draw of a stacked line in counts: photon and read noise of the mean of its subs, taken as normal.
 * Not rounded, not clipped; 0 where the stack holds no data. The same noise seed gives the same noise.
 */
export const drawStack = (truth: LineTruth, noiseSeed: number): Float32Array => {
  const rng = random(noiseSeed, 16 + LINES.indexOf(truth.line));
  const stack = new Float32Array(truth.mean.length);
  for (let i = 0; i < stack.length; i++) {
    const deviate = rng.normal();
    const mean = truth.mean[i]!;
    stack[i] = truth.covered[i] ? mean + noiseOf(mean, subsAt(truth, i)) * deviate : 0;
  }
  return stack;
};

/**
 * A draw as a 16-bit master: rounded to multiples of `step`, clipped at full scale, at least 1 where there is data and 0
 * where there is none.
 */
export const drawMaster = (truth: LineTruth, noiseSeed: number, step = 1): Uint16Array => {
  const stack = drawStack(truth, noiseSeed);
  const master = new Uint16Array(stack.length);
  for (let i = 0; i < stack.length; i++)
    if (truth.covered[i]) master[i] = Math.min(FULL_SCALE, Math.max(1, step * Math.floor(stack[i]! / step + 0.5)));
  return master;
};

/** The expected noise of a stacked line in counts, pixel by pixel; 0 where it holds no data. Rounding to whole counts adds 1/12 to its square. */
export const noisePlane = (truth: LineTruth): Float32Array =>
  truth.mean.map((mean, i) => (truth.covered[i] ? noiseOf(mean, subsAt(truth, i)) : 0));
