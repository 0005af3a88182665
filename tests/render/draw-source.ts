import { createMask, mark } from '../../lib/plane/mask.ts';
import { hidePixels } from '../../lib/plane/memory-plane.ts';
import type { PlaneSource } from '../../lib/plane/plane.ts';
import { withoutSurface } from '../../lib/prepare/background/surface.ts';
import { combined } from '../../lib/prepare/combine.ts';
import { lessContinuum } from '../../lib/prepare/continuum.ts';
import { filled } from '../../lib/prepare/fill.ts';
import type { LineNoise, Smoothing } from '../../lib/smooth/noise-model.ts';
import { smoothedMembers } from '../../lib/smooth/smoothed-lines.ts';

const drawNoise = (next: () => number): LineNoise => ({
  level: next() - 0.5,
  variance: 0.001 + 0.1 * next() ** 4,
  perCount: 0.1 * next(),
  neighbours: 0.4 * next(),
});

/** Smoothing of lines among so many members, the last of which guides. */
export const drawSmoothing = (next: () => number, members: number, lines: readonly number[]): Smoothing => ({
  strength: next(),
  scales: next() < 0.2 ? 4 * next() : 2 + Math.floor(4 * next()),
  noise: Array.from({ length: members }, () => drawNoise(next)),
  guide: members - 1,
  lines,
});

/**
 * A source drawn at random: steps down to files.
 * @param next uniform numbers, 0…1
 * @param master gives the file of a name
 */
export const drawSource = (
  next: () => number,
  depth: number,
  name: string,
  master: (name: string) => PlaneSource,
): PlaneSource => {
  if (depth === 0) return master(name);
  const below = (n: number) => Math.floor(n * next());
  const deeper = (suffix: string) => drawSource(next, depth - 1, `${name}${suffix}`, master);
  const spots = ({ width, height }: PlaneSource) => {
    const mask = createMask(width, height);
    for (let i = 0; i < 40; i++) mark(mask, below(width), below(height));
    return mask;
  };
  const steps: (() => PlaneSource)[] = [
    () => {
      const source = deeper('h');
      return hidePixels(source, spots(source));
    },
    () => {
      const source = deeper('f');
      const { width, height } = source;
      const at = Array.from({ length: 60 }, (): [number, number] => [below(width), below(height)]);
      return filled(source, { width, height, at });
    },
    () => withoutSurface(deeper('b'), { order: 1, coefficients: [0, 0.1 * next(), -0.1 * next()] }),
    () => lessContinuum(deeper('c'), deeper('d'), 0.2 * next(), 0.1),
    () => {
      const [first, second] = [deeper('p'), deeper('q')];
      return combined([
        { source: first, scale: 1, offset: 0, weight: 0.6 },
        { source: second, scale: 0.9, offset: 0.01, weight: 0.4, outliers: { mask: spots(first) } },
      ]);
    },
    () => smoothedMembers([deeper('s'), deeper('t')], drawSmoothing(next, 2, [0]))[0]!,
  ];
  return steps[below(steps.length)]!();
};
