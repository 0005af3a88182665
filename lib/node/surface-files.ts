import { endingsFor, formatOf } from '../formats/pictures.ts';
import { outputError } from '../plane/errors.ts';
import type { StripOptions } from '../plane/strips.ts';
import type { OrderUncertainty } from '../prepare/background/assess.ts';
import type { Shade } from '../prepare/background/shade.ts';
import type { BackgroundWish } from '../recipe/written/schema.ts';
import { layOutSheet } from '../render/sheet.ts';
import { writeSheetTo } from '../work/sheet.ts';
import { lookAtSurface, type SurfaceLook } from '../work/surface.ts';
import { writeWhole } from './files/write-whole.ts';
import type { Master } from './masters/masters.ts';

/** A background surface in numbers. Values are in file units. */
export interface SurfaceReport {
  readonly name: string;
  readonly order: number;
  /** In the order 1, u, v, u², uv, v², …; mean 0 over the frame. */
  readonly coefficients: readonly number[];
  /** Side of a block in pixels, blocks with data, and those that the fit rests on. */
  readonly blockSize: number;
  readonly blocks: number;
  readonly used: number;
  /** What is left between the blocks used, and the noise from one pixel to the next. */
  readonly rms: number;
  readonly pixelNoise: number;
  /** The shadow of something at an edge that is taken off as well; absent for none. */
  readonly shade?: Shade | undefined;
  /** Standard error of the surface over the frame; absent where it cannot be known. */
  readonly uncertainty?: number | undefined;
  /** The same for every order that the blocks can carry, null where it cannot be known, and the most certain order. */
  readonly uncertainties: readonly { readonly order: number; readonly uncertainty: number | null }[];
  readonly best: number;
  /** How far blocks used vary together with their neighbours about the surface. */
  readonly correlated: number;
}

/** Fits a background surface to each master, for looking at: numbers, and pictures if asked for. */
export const surfaceFiles = async (
  masters: readonly Master[],
  wish: BackgroundWish,
  options: StripOptions & { readonly picture?: string | undefined; readonly force?: boolean | undefined },
): Promise<{ surfaces: SurfaceReport[]; warnings: string[] }> => {
  const { signal, executor } = options;
  const looks: SurfaceLook[] = [];
  for (const master of masters) looks.push(await lookAtSurface(master, wish, { signal, executor }));
  const surfaces = looks.map(
    ({ found: { grid, fit, pixelNoise, orders, best, correlated } }, i): SurfaceReport => ({
      name: masters[i]!.name,
      ...fit.surface,
      blockSize: grid.size,
      blocks: grid.blocks.length,
      used: fit.used.filter(Boolean).length,
      rms: fit.rms,
      pixelNoise,
      correlated,
      best: best.order,
      uncertainties: orders.map(orNull),
    }),
  );
  if (options.picture !== undefined) await writeSurfaces(options.picture, options.force ?? false, surfaces, looks);
  return { surfaces, warnings: looks.flatMap(({ warnings }) => warnings) };
};

/** JSON has no infinity. */
const orNull = ({ order, uncertainty }: OrderUncertainty) => ({
  order,
  uncertainty: Number.isFinite(uncertainty) ? uncertainty : null,
});

const writeSurfaces = async (
  file: string,
  force: boolean,
  surfaces: readonly SurfaceReport[],
  looks: readonly SurfaceLook[],
): Promise<void> => {
  const format = formatOf(file);
  if (format === undefined || !format.samples.includes('u8'))
    throw outputError(file, `the picture is written as ${endingsFor('u8')}`, 'choose one of these endings');
  const cells = looks.map(({ picture }, i) => {
    const { name, used, blocks, rms } = surfaces[i]!;
    return { picture, caption: `${name} ${used}/${blocks} rms ${Number(rms.toPrecision(3))}` };
  });
  // Masters of different sizes are looked at side by side as well.
  const width = Math.max(...cells.map(({ picture }) => picture.width));
  const height = Math.max(...cells.map(({ picture }) => picture.height));
  const layout = layOutSheet(cells.length, width, height);
  await writeWhole(file, force, (sink) => writeSheetTo(sink, format, { cells, layout }));
};
