import type { Measured } from '../../plane/measured.ts';
import { type LineNoise, noiseLeft } from '../../smooth/noise-model.ts';
import { USUAL_SCALES } from '../written/limits.ts';
import type { Recipe } from '../written/schema.ts';
import { changesOwnStars } from '../written/star-wish.ts';
import type { Findings } from './findings.ts';
import type { SettledSmooth } from './settled.ts';

/** The smoothing of a recipe in numbers, and what to say of it. */
export interface SmoothResult {
  /** Absent where nothing is smoothed. */
  readonly smooth?: SettledSmooth;
  readonly warnings: readonly string[];
}

const NOTHING: SmoothResult = { warnings: [] };

/**
 * The lines whose noise must be known: those that are smoothed, and their guide; without a guide any of the lines in use may
 * be it. Finding stars needs that of all.
 */
export const linesWithNoise = (
  { smooth, stars }: Pick<Recipe, 'smooth' | 'stars'>,
  used: readonly string[],
): string[] => {
  if (changesOwnStars(stars)) return [...used];
  if (!smooth?.strength) return [];
  const { guide, lines } = smooth;
  if (guide === undefined || lines === undefined) return [...used];
  return used.filter((name) => name === guide || lines.includes(name));
};

/**
 * Settles what is smoothed, by which guide, and with what noise.
 * @param channels measurements of the lines in use
 */
export const settleSmooth = (recipe: Recipe, channels: readonly Measured[], findings: Findings): SmoothResult => {
  const { smooth } = recipe;
  if (!smooth?.strength) return NOTHING;
  const { strength, scales = USUAL_SCALES } = smooth;
  const used = channels.map(({ name }) => name);
  const noiseOf = (name: string): LineNoise | undefined => smooth.noise?.[name] ?? findings[name]?.lineNoise;
  const guide = smooth.guide ?? strongest(channels, noiseOf);
  const wanted = (smooth.lines ?? used.filter((name) => name !== guide)).filter((name) => used.includes(name));
  const lines = used.filter((name) => wanted.includes(name) && noiseOf(name) !== undefined);
  const silent = wanted.filter((name) => noiseOf(name) === undefined);
  const warnings = silent.map((name) => `${name} shows no noise of its own: it is not smoothed`);
  const why = guideFault(guide, used, noiseOf) ?? (lines.length === 0 ? 'no line is left to smooth' : undefined);
  if (why !== undefined || guide === undefined) return { warnings: [...warnings, `nothing is smoothed: ${why}`] };
  const members = used.filter((name) => name === guide || lines.includes(name));
  const noise = Object.fromEntries(members.map((name) => [name, { ...noiseOf(name)! }]));
  const { width, height } = channels[0]!;
  const found = smooth.guide === undefined ? [guideNote(guide, lines, noise, { strength, scales })] : [];
  const settled = { strength, scales, guide, lines, noise, frame: { width, height } };
  return { smooth: settled, warnings: [...warnings, ...found] };
};

/** The line with the largest median signal over noise. */
const strongest = (
  channels: readonly Measured[],
  noiseOf: (name: string) => LineNoise | undefined,
): string | undefined => {
  let best: { name: string; signal: number } | undefined;
  for (const { name, median } of channels) {
    const noise = noiseOf(name);
    if (noise === undefined) continue;
    const signal = (median - noise.level) / Math.sqrt(noise.variance);
    if (best === undefined || signal > best.signal) best = { name, signal };
  }
  return best?.name;
};

const guideFault = (
  guide: string | undefined,
  used: readonly string[],
  noiseOf: (name: string) => LineNoise | undefined,
): string | undefined => {
  if (guide === undefined) return 'no line shows noise';
  if (!used.includes(guide)) return `its guide, ${guide}, has no weight in this mix`;
  return noiseOf(guide) === undefined ? `its guide, ${guide}, shows no noise` : undefined;
};

const guideNote = (
  guide: string,
  lines: readonly string[],
  noise: Readonly<Record<string, LineNoise>>,
  { strength, scales }: { readonly strength: number; readonly scales: number },
): string => {
  const left = Math.max(...lines.map((name) => noiseLeft(scales, noise[name]!.neighbours, strength)));
  return (
    `${lines.join(' and ')} ${lines.length > 1 ? 'are' : 'is'} smoothed, guided by ${guide}, which has the most signal over noise: ` +
    `where nothing but noise shows, about ${Math.round(100 * left)} % of a pixel's noise is left`
  );
};
