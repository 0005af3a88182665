import { hueStep } from '../../finish/bends.ts';
import type { Finish } from '../../finish/finish.ts';
import { splineThrough } from '../../stretch/points.ts';
import type { KernelExports } from './module.ts';

const RADIANS = Math.PI / 180;

/** Gives the numbers of a finish to an instance; without one, those that change nothing. */
export const loadFinish = (kernel: KernelExports, { tone, chroma, bends = [] }: Finish = {}): void => {
  const { x, y, m } = tone ? splineThrough({ points: tone }) : { x: [], y: [], m: [] };
  kernel.setKnot(0, x.length, x[0] ?? 0, y[0] ?? 0, m[0] ?? 0);
  for (let i = 1; i < x.length; i++) kernel.setKnot(i, x.length, x[i]!, y[i]!, m[i]!);
  if (chroma) kernel.setChromaGain(chroma.gain - 1, chroma.from, 1 / (chroma.to - chroma.from), 1 / chroma.until);
  else kernel.setChromaGain(0, 0, 1, 1);
  kernel.setBend(0, 0, 0, 0, 0, 0);
  for (const [i, { at, to, width, chroma: factor }] of bends.entries()) {
    const hue = hueStep(0, at) * RADIANS;
    kernel.setBend(i, bends.length, hue, hueStep(at, to) * RADIANS, 1 / (width * RADIANS), factor - 1);
  }
};
