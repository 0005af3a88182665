import type { BlockGrid } from '../plane/block-grid.ts';
import { inputError } from '../plane/errors.ts';
import type { PlaneSource } from '../plane/plane.ts';
import { madSigma, median } from '../plane/robust.ts';
import type { StripOptions } from '../plane/strips.ts';
import { measureBlocks } from './background/blocks.ts';
import { pixelNoise } from './background/pixel-noise.ts';
import { combinedNoise, inverseVarianceWeights, type Part } from './combine.ts';
import { robustLine } from './scale/line.ts';
import { correlation, pairedLevels } from './scale/pairs.ts';

/** How several masters of one line fit together. */
export interface Match {
  readonly parts: readonly Part[];
  /** Noise of the best single master over that of the combination: 1.41 for two equal ones. */
  readonly gain: number;
  /** What a user should know, each a sentence. */
  readonly warnings: readonly string[];
}

/** Blocks must vary by this many times what noise makes of them before a scale is read from them. */
const CLEAR = 5;
/** Masters of one line and field whose blocks agree less than this do not belong together. */
const LEAST_CORRELATION = 0.5;

/**
 * Levels and scales by which masters of one line come to the footing of the first, and the weights of their mean: each
 * master's block levels are fitted to the first one's by a robust line with errors in both, its noise from pixel to
 * pixel times the slope gives its weight. Reads every master once.
 * @throws LinewashError 'input' where sizes or filters differ, or the masters show different things.
 */
export const matchMasters = async (sources: readonly PlaneSource[], options: StripOptions = {}): Promise<Match> => {
  refuseOthers(sources);
  const grids: BlockGrid[] = [];
  for (const source of sources) grids.push(await measureBlocks(source, { signal: options.signal }));
  const noises = grids.map(pixelNoise);
  const warnings: string[] = [];
  const known = sources.map(({ file }, i) => ({ file, grid: grids[i]!, noise: noises[i]! }));
  const fits = known.map((one, i) => (i === 0 ? { scale: 1, offset: 0 } : fitTo(known[0]!, one, warnings)));
  const scaled = noises.map((noise, i) => noise * fits[i]!.scale);
  const weights = inverseVarianceWeights(scaled);
  const parts = sources.map((source, i) => ({ source, ...fits[i]!, weight: weights[i]! }));
  return { parts, gain: Math.min(...scaled) / combinedNoise(scaled, weights) || 1, warnings };
};

const refuseOthers = ([first, ...others]: readonly PlaneSource[]): void => {
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

interface Known {
  readonly file: string;
  readonly grid: BlockGrid;
  readonly noise: number;
}

const fitTo = (first: Known, { file, grid, noise }: Known, warnings: string[]) => {
  const to = first.file;
  const { x, y, looked } = pairedLevels(grid, first.grid);
  if (x.length < 3)
    throw inputError(`${file} and ${to} share no part of the field`, 'register them to one frame first');
  // The median of a normal sample scatters by √(π/2) σ/√n.
  const blockNoise = (Math.sqrt(Math.PI / 2) * noise) / Math.sqrt(looked);
  if (madSigma(x) < CLEAR * blockNoise) {
    warnings.push(
      `${file} shows too little beside noise to find its scale against ${to}: they are combined as they are`,
    );
    return { scale: 1, offset: median(y) - median(x) };
  }
  const agreement = correlation(x, y);
  if (agreement < LEAST_CORRELATION)
    throw inputError(
      `${file} and ${to} do not show the same: their correlation is ${agreement.toFixed(2)}`,
      'check that both are masters of this line and field, registered to one frame',
    );
  const { slope, intercept } = robustLine(x, y, (first.noise / noise) ** 2 || 1);
  if (!(slope > 0)) throw inputError(`${file} and ${to} cannot be brought to one scale`, 'check both masters');
  return { scale: slope, offset: intercept };
};
