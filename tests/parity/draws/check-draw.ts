import { readFileSync, rmSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { mixFiles } from '../../../lib/node/index.ts';
import { LinewashError } from '../../../lib/plane/errors.ts';
import type { Settled } from '../../../lib/recipe/settle/settled.ts';
import type { Draw } from './draw.ts';
import { fillSpots } from './fill-spots.ts';
import { isExact, masterBytes, physicalOf } from './master-files.ts';
import { type ReadBack, readPicture } from './read-picture.ts';
import { recomputeFor } from './recompute.ts';

/** How far a written picture is from the recomputed one. */
export interface Outcome {
  /** Why nothing was written, where the product refused the case. */
  readonly refused?: string;
  /** Largest difference, in steps of the written samples (of 16 bits for float), and how many samples exceed one. */
  readonly worst: number;
  readonly beyond: number;
  /** Where the largest is: pixel, band, values written and wanted. */
  readonly where?: { readonly pixel: number; readonly band: number; readonly got: number; readonly wanted: number };
  readonly settled?: Settled;
}

let files = 0;

/** Writes the masters to the folder, mixes them as the command line does, and compares the bytes of the picture. */
export const checkDraw = async (draw: Draw, folder: string): Promise<Outcome> => {
  const named: string[] = [];
  // A name of its own for every file: what a process remembers of a file must not help another.
  const place = (ending: string) => {
    named.push(join(folder, `${files++}.${ending}`));
    return named.at(-1)!;
  };
  const inputs: Record<string, string> = {};
  for (const [name, form] of Object.entries(draw.masters)) {
    inputs[name] = place(form.format);
    writeFileSync(inputs[name], masterBytes(form));
  }
  const output = place(draw.ending);
  const { recipe, sample, alpha } = draw;
  try {
    const { settled } = await mixFiles({ recipe, inputs, output, sample, alpha, threads: 1 });
    return { ...compare(draw, settled, readPicture(readFileSync(output))), settled };
  } catch (cause) {
    if (cause instanceof LinewashError) {
      const faults = cause.faults.map(({ message }) => message).join('; ');
      return { refused: `${cause.tag}: ${faults || cause.message}`, worst: 0, beyond: 0 };
    }
    throw cause;
  } finally {
    for (const path of named) rmSync(path, { force: true });
  }
};

/** Physical values of a line, its spots filled. */
const filledPlane = ({ masters, recipe }: Draw, name: string): Float64Array => {
  const form = masters[name]!;
  const values = physicalOf(form);
  const places = typeof recipe.spots === 'object' ? (recipe.spots[name] ?? []) : [];
  const { width, height } = form;
  return fillSpots({ width, height, values }, places as [number, number][], isExact(form) ? Math.fround : Number);
};

const compare = (draw: Draw, settled: Settled, picture: ReadBack): Outcome => {
  const { width, height } = Object.values(draw.masters)[0]!;
  const bands = draw.alpha ? 4 : 3;
  const bits = { u8: 8, u16: 16, f32: 32 }[draw.sample];
  const form = [picture.width, picture.height, picture.bands, picture.bits];
  if (form.join() !== [width, height, bands, bits].join()) throw new RangeError(`a picture of the form ${form}`);
  const full = { u8: 255, u16: 65535, f32: 1 }[draw.sample];
  const step = draw.sample === 'f32' ? 1 / 65535 : 1;
  const physical = settled.channels.map(({ name }) => filledPlane(draw, name));
  const recompute = recomputeFor(settled);
  let outcome: Outcome = { worst: 0, beyond: 0 };
  let beyond = 0;
  for (let pixel = 0; pixel < width * height; pixel++) {
    const colour = recompute(physical.map((plane) => plane[pixel]!));
    for (let band = 0; band < bands; band++) {
      const got = picture.samples[pixel * bands + band]!;
      const value = band === 3 ? Number(colour !== undefined) : (colour?.[band] ?? 0);
      const wanted = draw.sample === 'f32' ? Math.fround(value) : Math.floor(value * full + 0.5);
      const off = Math.abs(got - wanted) / step;
      // NaN counts as far off.
      if (!(off <= 1)) beyond++;
      if (!(off <= outcome.worst)) outcome = { worst: off, beyond: 0, where: { pixel, band, got, wanted } };
    }
  }
  return { ...outcome, beyond };
};
