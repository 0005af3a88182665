import type { Channel } from '../measure/measure.ts';
import type { Origin } from '../plane/origin.ts';
import type { PlaneSource } from '../plane/plane.ts';
import type { Settled } from '../recipe/settle/settled.ts';
import type { BandInput } from './band-input.ts';
import { createBandRunner, runsFast } from './band-runner.ts';
import type { BandRunner } from './bands.ts';
import type { KernelForm } from './kernel.ts';
import { type Legend, legendHeight } from './legend-form.ts';
import { type FileAccess, openInput } from './open-input.ts';
import { originOpener } from './open-origin.ts';
import { sourcesFor } from './picture.ts';

/** The plan of a picture: all that any thread needs to compute any band of it. Plain data. */
export interface PicturePlan {
  readonly settled: Settled;
  readonly form: KernelForm;
  readonly width: number;
  readonly height: number;
  /** Where the rows of each settled channel come from, in their order. */
  readonly channels: readonly Origin[];
  /** Red, green and blue of stars to be laid over; absent for none. */
  readonly stars?: readonly Origin[] | undefined;
  /** A strip below the picture; its rows are among those of the plan. */
  readonly legend?: Legend | undefined;
}

/** A picture with its sources open, as `compose` makes it, and the form it is asked for in. */
export interface PlannedPicture {
  readonly settled: Settled;
  readonly channels: readonly Channel[];
  readonly stars?: readonly PlaneSource[] | undefined;
  readonly form: KernelForm;
  readonly legend?: Legend | undefined;
}

/** The plan of a picture; undefined where a source cannot be opened by other threads. */
export const planPicture = ({ settled, channels, stars, form, legend }: PlannedPicture): PicturePlan | undefined => {
  const sources = sourcesFor(settled, channels);
  const { width } = sources[0]!;
  const height = sources[0]!.height + (legend ? legendHeight(width) : 0);
  const origins = originsOf(sources);
  const starOrigins = stars && originsOf(stars);
  if (origins === undefined || (stars && starOrigins === undefined)) return undefined;
  return { settled, form, width, height, channels: origins, stars: starOrigins, legend };
};

const originsOf = (sources: readonly PlaneSource[]): readonly Origin[] | undefined => {
  const origins = sources.flatMap(({ origin }) => origin ?? []);
  return origins.length === sources.length ? origins : undefined;
};

/** Opens the files of a plan and runs its bands. @param rows most rows of a band */
export const openPlan = async (plan: PicturePlan, rows: number, files: FileAccess): Promise<BandRunner> => {
  const { settled, form, width, legend } = plan;
  const laidOver = plan.stars !== undefined && settled.ownStars === undefined;
  const fast = runsFast(settled, laidOver ? { sample: 'f32', bands: 4 } : form);
  const open = originOpener(files.open);
  const inputs: BandInput[] = [];
  for (const origin of plan.channels) inputs.push(await openInput(origin, fast, files, open));
  const stars: PlaneSource[] = [];
  for (const origin of plan.stars ?? []) stars.push(await open(origin));
  return createBandRunner({ settled, form, width, rows, inputs, stars: plan.stars && stars, legend });
};
