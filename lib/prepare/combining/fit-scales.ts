import type { BlockGrid } from '../../plane/block-grid.ts';
import { inputError } from '../../plane/errors.ts';
import { madSigma, median } from '../../plane/robust.ts';
import { huberLine } from '../scale/huber-line.ts';
import { correlation, pairedLevels } from '../scale/pairs.ts';
import type { ProductBlock } from './block-products.ts';
import { nebulaNoise } from './nebula-noise.ts';

/** What brings a master to the first one's scale: scale · x + offset. */
export interface ScaleFit {
  readonly scale: number;
  readonly offset: number;
}

/** A master whose blocks were measured. */
export interface KnownMaster {
  readonly file: string;
  readonly grid: BlockGrid;
  /** Noise from pixel to pixel. */
  readonly noise: number;
}

export interface ScaleFits {
  readonly fits: readonly ScaleFit[];
  /** Noise of each master at the scales of nebula, in units of the first. */
  readonly noises: readonly number[];
  readonly warnings: readonly string[];
}

export const AS_IT_IS: ScaleFit = { scale: 1, offset: 0 };

/** Blocks must vary by this many times what noise makes of them before masters can be seen to differ. */
const CLEAR = 5;
/** Masters of one line and field whose blocks agree less than this do not belong together. */
const LEAST_CORRELATION = 0.5;
/** A scale known less well than this share of it is not known. */
const MOST_DOUBT = 0.2;

/**
 * Fits each master's block levels to the first one's. How far the line trusts either depends on their noise, and the noise
 * at the scales of nebula on the scales: after a first round with the noise of pixels everything is fitted again.
 * @throws LinewashError 'input' where masters show different things
 */
export const fitScales = (masters: readonly KnownMaster[], blocks: readonly ProductBlock[]): ScaleFits => {
  const pixel = masters.map(({ noise }) => noise);
  const rough = fitRound(masters, pixel).fits;
  const atNebula = nebulaNoise(blocks, scalesOf(rough), pixel);
  const { fits, warnings } = fitRound(
    masters,
    atNebula.map((noise, i) => noise / Math.abs(rough[i]!.scale)),
  );
  return { fits, warnings, noises: nebulaNoise(blocks, scalesOf(fits), pixel) };
};

const scalesOf = (fits: readonly ScaleFit[]): number[] => fits.map(({ scale }) => scale);

const fitRound = (masters: readonly KnownMaster[], noises: readonly number[]) => {
  const [first, ...others] = masters;
  const warnings: string[] = [];
  const fits = others.map((other, i) => {
    const ratio = (noises[0]! / noises[i + 1]!) ** 2;
    return fitTo(first!, other, Number.isFinite(ratio) && ratio > 0 ? ratio : 1, warnings);
  });
  return { fits: [AS_IT_IS, ...fits], warnings };
};

const fitTo = (first: KnownMaster, other: KnownMaster, ratio: number, warnings: string[]): ScaleFit => {
  const [file, to] = [other.file, first.file];
  const { x, y, looked } = pairedLevels(other.grid, first.grid);
  if (x.length < 3)
    throw inputError(`${file} and ${to} share no part of the field`, 'register them to one frame first');
  const agreement = correlation(x, y);
  if (varies(x, other.noise, looked) && varies(y, first.noise, looked) && agreement < LEAST_CORRELATION)
    throw inputError(
      `${file} and ${to} do not show the same: their correlation is ${agreement.toFixed(2)}`,
      'check that both are masters of this line and field, registered to one frame',
    );
  const { slope, intercept, doubt } = huberLine(x, y, ratio);
  if (slope > 0 && doubt <= MOST_DOUBT * slope) return { scale: slope, offset: intercept };
  warnings.push(`${file} shows too little beside noise to find its scale against ${to}: they are combined as they are`);
  return { scale: 1, offset: median(y) - median(x) };
};

/** Whether blocks differ by more than noise. The median of a normal sample scatters by √(π/2) σ/√n. */
const varies = (levels: Float64Array, noise: number, looked: number): boolean =>
  madSigma(levels) >= CLEAR * Math.sqrt(Math.PI / 2 / looked) * noise;
