import { InvalidArgumentError } from 'commander';
import type { SurfaceLookOptions } from '../node/measure-files.ts';
import type { SurfaceReport } from '../node/surface-files.ts';
import type { BoxNumbers } from '../plane/box.ts';
import { LinewashError } from '../plane/errors.ts';
import { table } from './table.ts';

/** What `measure` is told about background surfaces. */
export interface SurfaceFlags {
  readonly background?: Order | 'best';
  readonly include?: BoxNumbers[];
  readonly exclude?: BoxNumbers[];
  readonly picture?: string;
  readonly force?: boolean;
}

type Order = 1 | 2 | 3 | 4;

export const order = (text: string): Order | 'best' => {
  if (text === 'best') return text;
  if (!/^[1-4]$/.test(text)) throw new InvalidArgumentError('Give 1, 2, 3, 4 or best.');
  return Number(text) as Order;
};

/** Collects `x,y,width,height`. */
export const boxes = (text: string, before: BoxNumbers[] = []): BoxNumbers[] => {
  const match = /^(\d+),(\d+),([1-9]\d*),([1-9]\d*)$/.exec(text);
  if (match === null)
    throw new InvalidArgumentError('Give X,Y,WIDTH,HEIGHT in pixels, counted from 0 at the top left.');
  return [...before, match.slice(1).map(Number) as unknown as BoxNumbers];
};

/** @throws LinewashError 'usage' where options of a surface stand without one. */
export const surfaceAsked = (flags: SurfaceFlags): SurfaceLookOptions | undefined => {
  const { background, include, exclude, picture } = flags;
  if (background !== undefined)
    return { order: background === 'best' ? undefined : background, include, exclude, picture };
  if (include ?? exclude ?? picture)
    throw new LinewashError({
      tag: 'usage',
      message: '--include, --exclude and --picture need a background surface',
      advice: 'add --background, for example --background best',
    });
  return undefined;
};

const known = (v: number | null | undefined) => (v === null || v === undefined ? 'unknown' : figure(v));

const figure = (v: number) => String(Number(v.toPrecision(4)));

/** Surfaces in numbers, one line a master. */
export const surfaceTable = (surfaces: readonly SurfaceReport[]): string =>
  table(
    [
      'line',
      'order',
      'uncertain by',
      'orders 1, 2, … by',
      'blocks used',
      'rms',
      'pixel noise',
      'coefficients 1, u, v, …',
    ],
    surfaces.map((s) => [
      s.name,
      s.shade === undefined ? String(s.order) : `${s.order} and a shadow`,
      known(s.uncertainty),
      s.uncertainties.map(({ uncertainty }) => known(uncertainty)).join(', '),
      `${s.used} of ${s.blocks}`,
      figure(s.rms),
      figure(s.pixelNoise),
      s.coefficients.map(figure).join(', '),
    ]),
  );
