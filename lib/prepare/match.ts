import type { BlockGrid } from '../plane/block-grid.ts';
import { inputError } from '../plane/errors.ts';
import type { PlaneSource } from '../plane/plane.ts';
import { ofPieces } from '../plane/progress.ts';
import { median } from '../plane/robust.ts';
import type { StripOptions } from '../plane/strips.ts';
import { measureBlocks } from './background/blocks.ts';
import { pixelNoise } from './background/pixel-noise.ts';
import { combinedNoise, inverseVarianceWeights, type Part } from './combine.ts';
import { blockProducts, type ProductBlock } from './combining/block-products.ts';
import { AS_IT_IS, fitScales, type KnownMaster, type ScaleFit } from './combining/fit-scales.ts';
import type { Outliers } from './combining/grow.ts';
import { findLimits } from './combining/limits.ts';
import { quietBlocks, sharedDetail } from './combining/nebula-noise.ts';
import { findOutliers, onScale } from './combining/outliers.ts';
import { type Patch, readPatches } from './combining/patches.ts';
import { sharedNoise } from './combining/shared-noise.ts';

/** One master of several, and what was found of it. */
export interface MatchedPart extends Part {
  /** Its noise at the scales of nebula, in units of the first master. */
  readonly noise: number;
  readonly outliers?: Outliers | undefined;
}

/** How several masters of one line fit together. */
export interface Match {
  readonly parts: readonly MatchedPart[];
  /**
   * Noise of the best single master over that of the combination, at the scales of nebula: 1.41 for two equal ones. Absent
   * where two masters share noise, so that it is not known.
   */
  readonly gain?: number;
  /** What a user should know, each a sentence. */
  readonly warnings: readonly string[];
}

/** Independent masters share up to .04 of their noise, those with half of their exposures in common about .5. */
const MOST_SHARED = 0.15;

/**
 * Scales, weights and outliers of masters of one line. Block levels are fitted to the first one's by a robust line with
 * errors in both; weights are inverse variances at the scales of nebula; pixels that the other masters contradict are
 * found. Reads every master twice, and some rows once more.
 * @throws LinewashError 'input' where sizes or filters differ, or the masters show different things.
 */
export const matchMasters = async (sources: readonly PlaneSource[], options: StripOptions = {}): Promise<Match> => {
  refuseOthers(sources);
  const step = ofPieces(sources.length + 2, options.progress);
  const { signal } = options;
  const grids: BlockGrid[] = [];
  for (const [i, source] of sources.entries())
    grids.push(await measureBlocks(source, { ...options, progress: step(i) }));
  if (sources.length === 1)
    return {
      parts: [{ source: sources[0]!, ...AS_IT_IS, weight: 1, noise: pixelNoise(grids[0]!) }],
      gain: 1,
      warnings: [],
    };
  const levels = grids.map(({ blocks }) => median(blocks.map(({ level }) => level)) || 0);
  const patches = await readPatches(sources, levels, { signal, progress: step(sources.length) });
  const known = sources.map(({ file }, i) => ({ file, grid: grids[i]!, noise: pixelNoise(grids[i]!) }));
  const blocks = blockProducts(patches);
  const { fits, noises: own, warnings } = fitScales(known, blocks);
  const scales = fits.map(({ scale }) => scale);
  const shared = sharedWarnings(known, quietBlocks(blocks, scales));
  const noises = shared.length === 0 ? own : sharedDetail(blocks, scales);
  const found = await outliersOf(sources, known, fits, patches, levels, { signal, progress: step(sources.length + 1) });
  const weights = inverseVarianceWeights(noises);
  const parts = sources.map((source, i) => {
    const outliers = found?.[i];
    const part = { source, ...fits[i]!, weight: weights[i]!, noise: noises[i]! };
    return outliers !== undefined && outliers.pixels > 0 ? { ...part, outliers } : part;
  });
  const gain = Math.min(...noises) / combinedNoise(noises, weights) || 1;
  return { parts, ...(shared.length === 0 && { gain }), warnings: [...warnings, ...shared] };
};

/** @throws LinewashError 'input' where masters differ in size or filter from the first */
export const refuseOthers = ([first, ...others]: readonly PlaneSource[]): void => {
  if (first === undefined) return;
  for (const source of others) {
    if (source.width !== first.width || source.height !== first.height)
      throw inputError(
        `${source.file} is ${source.width} × ${source.height} pixels, ${first.file} is ${first.width} × ${first.height}: they cannot be combined`,
        'register and crop all masters to one common frame first',
      );
    const [a, b] = [first.facts.filter, source.facts.filter];
    if (a !== undefined && b !== undefined && a.trim().toLowerCase() !== b.trim().toLowerCase())
      throw inputError(
        `${source.file} was taken through ${JSON.stringify(b)}, ${first.file} through ${JSON.stringify(a)}: they cannot be combined`,
        'give masters of one filter for one line',
      );
  }
};

const sharedWarnings = (known: readonly KnownMaster[], quiet: readonly ProductBlock[]): string[] => {
  const warnings: string[] = [];
  for (const [j, { file: other }] of known.entries())
    for (const [i, { file }] of known.slice(0, j).entries()) {
      const share = sharedNoise(quiet, i, j);
      if (share > MOST_SHARED)
        warnings.push(
          `${other} and ${file} share noise (correlation ${share.toFixed(2)}): one may be a copy of the other, or made of the ` +
            'same exposures; then together they are hardly better than one',
        );
    }
  return warnings;
};

/** Undefined for masters without noise, in which nothing can stand out from it. */
const outliersOf = async (
  sources: readonly PlaneSource[],
  known: readonly KnownMaster[],
  fits: readonly ScaleFit[],
  patches: readonly Patch[],
  levels: readonly number[],
  options: StripOptions,
) => {
  const noises = known.map(({ noise }, i) => noise * fits[i]!.scale);
  if (patches.length === 0 || !noises.every((noise) => noise > 0)) return undefined;
  // Float32 holds small differences of large numbers only after the common level is taken off.
  const [common] = levels as [number];
  const scaled = patches.map((patch) => ({
    ...patch,
    planes: patch.planes.map((plane, i) => {
      const { scale, offset } = fits[i]!;
      // In place: nobody needs the patches as they were.
      return onScale(plane, scale, offset + scale * levels[i]! - common, plane);
    }),
  }));
  const parts = sources.map((source, i) => ({ source, scale: fits[i]!.scale, offset: fits[i]!.offset - common }));
  return findOutliers(parts, findLimits(scaled, noises), options);
};
