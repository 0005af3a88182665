import { stat } from 'node:fs/promises';
import { basename } from 'node:path';
import { formatOf, PICTURE_FORMATS, type PictureFormat } from '../formats/pictures.ts';
import { outputError } from '../plane/errors.ts';
import type { OutputSample, SpaceName } from '../plane/picture.ts';
import { inHalves } from '../plane/progress.ts';
import type { Settled } from '../recipe/settle/settled.ts';
import { withoutStarList } from '../recipe/settle/without-list.ts';
import type { NoteEstimate } from '../recipe/share/note.ts';
import { plainRecipe } from '../recipe/written/plain.ts';
import type { Recipe, WrittenRecipe } from '../recipe/written/schema.ts';
import { hoursToCome } from '../work/hours-to-come.ts';
import { checkLegend, withStrip } from '../work/legend.ts';
import { type Mix, mixLines } from '../work/mix.ts';
import { pictureNote } from '../work/note.ts';
import { zerosOf } from '../work/open-lines.ts';
import { pictureFacts } from '../work/picture-facts.ts';
import { type FindingsCache, findingsCache, NO_CACHE, StaleFindings } from './cache/findings-cache.ts';
import { beginHashing } from './files/input-hashes.ts';
import { nameFault } from './files/name-fault.ts';
import { exists, splitFiles } from './files/spelling.ts';
import { withLines } from './masters/file-lines.ts';
import { inputsFor } from './masters/inputs-for.ts';
import { closeMasters, type Master } from './masters/masters.ts';
import { shrunk } from './masters/shrunk.ts';
import { openStars, starFiles } from './masters/star-files.ts';
import { combinedParts, type RejectedReport, rejectedWish, writeRejected } from './rejected-file.ts';
import { poolExecutor } from './threads/executor.ts';
import { type Pool, withPool } from './threads/pool.ts';
import { writePicture } from './write-picture.ts';

/** A recipe, the masters it is applied to, and the picture to be written. */
export interface MixOptions {
  readonly recipe: WrittenRecipe;
  /** Channel name → file, with an optional selector: `{ S: 's.fits', H: 'cube.fits#2' }`. */
  readonly inputs: Readonly<Record<string, string>>;
  /** The picture; its ending decides the format. */
  readonly output: string;
  readonly sample?: OutputSample | undefined;
  /** Output space instead of the recipe's. */
  readonly space?: SpaceName | undefined;
  /** Adds alpha: 0 where a used channel has no data. */
  readonly alpha?: boolean | undefined;
  /** A picture of the stars to lay over: a colour picture, or three files with commas between. */
  readonly stars?: string | undefined;
  /** Cuts the picture to the largest rectangle that all used channels cover. */
  readonly crop?: boolean | undefined;
  /** Longest side in pixels: a larger picture is shrunk before the mix; full size where absent. */
  readonly size?: number | undefined;
  /**
   * Hours on the clock: the picture is an estimate of what it would be after so many more, split best for the noise of
   * luminance. Its note says so.
   */
  readonly after?: number | undefined;
  /** Hours so far by line, where the headers do not state them; for `after`. */
  readonly time?: Readonly<Record<string, number>> | undefined;
  /**
   * A picture of the pixels that combining masters of a line left out, .tif, .png or .fits, of the same part of the frame as
   * the mix, without a legend. Not with `size`.
   */
  readonly rejected?: string | undefined;
  /** Adds a strip below that says what the colours mean; not for FITS. */
  readonly legend?: boolean | undefined;
  /** Whether an existing picture may be replaced; inputs never are. */
  readonly force?: boolean | undefined;
  /** Threads that compute; as many as there are processors by default. The result does not depend on it. */
  readonly threads?: number | undefined;
  /** A folder for what is found of masters; an entry counts only for files of the SHA-256 it was made for. None where absent. */
  readonly cache?: string | undefined;
  /** Combines masters of a line that lie more than a pixel apart, with a warning. */
  readonly apart?: boolean | undefined;
  readonly signal?: AbortSignal | undefined;
  /** Called with the stage and the share of it that is done, 0…1. */
  readonly progress?: ((stage: 'measure' | 'apply', done: number) => void) | undefined;
}

/** The written picture, and the numbers it was made with. */
export interface MixResult {
  readonly output: string;
  readonly width: number;
  readonly height: number;
  readonly settled: Settled;
  readonly warnings: readonly string[];
  /** What was left out of each master of combined lines, where a picture of it was asked for. */
  readonly rejected?: readonly RejectedReport[] | undefined;
}

/**
 * Applies a recipe to files at full size.
 * @throws LinewashError: 'input' and 'format' before anything is written, 'output' with nothing left behind.
 */
export const mixFiles = async (options: MixOptions): Promise<MixResult> => {
  try {
    return await mixWith(findingsCache(options.cache), options);
  } catch (cause) {
    if (cause instanceof StaleFindings) return mixWith(NO_CACHE, options);
    throw cause;
  }
};

const mixWith = async (cache: FindingsCache, options: MixOptions): Promise<MixResult> => {
  const format = formatFor(options.output, options.sample);
  if (options.legend) checkLegend(format, options.output);
  const written = options.space === undefined ? options.recipe : { ...options.recipe, space: options.space };
  const recipe = await plainRecipe(written);
  return withPool(options.threads, (pool) => mixTogether({ ...options, cache, pool }, { written, recipe }, format));
};

const mixTogether = async (
  { cache, ...options }: Omit<MixOptions, 'cache'> & { readonly cache: FindingsCache; readonly pool: Pool },
  { written, recipe }: { written: WrittenRecipe; recipe: Recipe },
  format: PictureFormat,
): Promise<MixResult> => {
  const { pool, signal, apart, output } = options;
  const inputs = inputsFor(recipe, options.inputs);
  await refuseOutput(options);
  const wish = options.rejected === undefined ? undefined : await rejectedWish(options.rejected, options);
  const executor = poolExecutor(pool, signal);
  return withLines(inputs, { apart, cache, signal, executor }, async (lines) => {
    const hashing = cache.checking(beginHashing(await pathsOf(inputs, options.stars), pool));
    const [opening, progress] = inHalves((done) => options.progress?.('measure', done));
    const masters = await lines.masters(zerosOf(recipe), { progress: opening });
    const stars = options.stars === undefined ? undefined : await openStars(options.stars);
    try {
      const all = stars === undefined ? masters : [...masters, stars.master];
      await refuseInputAsOutput(output, all);
      const rejecting = wish && combinedParts(masters, wish);
      if (wish) await refuseInputAsOutput(wish.file, all);
      const { after, time, crop } = options;
      const coming =
        after === undefined ? undefined : await hoursToCome(lines, recipe, { after, time }, { signal, executor });
      const additions = { stars, crop, longer: coming?.shares };
      const mix = await mixLines(lines, recipe, additions, { signal, executor, progress });
      const { size } = options;
      const composition = size === undefined ? mix : await shrunk(mix, size, { signal });
      const form = { ...options, estimate: coming?.estimate };
      const picture = await pictureOf({ ...mix, ...composition }, written, all, format, form);
      const write = () =>
        writePicture({ ...composition, ...picture, hashing }, pool, {
          signal,
          progress: (done) => options.progress?.('apply', done),
        });
      const rejected = rejecting
        ? await writeRejected(wish!, rejecting, mix.settled.crop, write, { signal })
        : await write();
      const read = masters.flatMap(({ source }) => source.warnings.map((words) => `${source.file}: ${words}`));
      const { width, height } = picture.info;
      return {
        output,
        width,
        height,
        settled: withoutStarList(mix.settled),
        warnings: [...(coming?.warnings ?? []), ...read, ...mix.warnings],
        ...(rejected && { rejected }),
      };
    } finally {
      if (stars) await closeMasters([stars.master]);
    }
  });
};

/** The files that are there: opening says what is wrong with the others. */
const pathsOf = async (inputs: Readonly<Record<string, string>>, stars: string | undefined): Promise<string[]> => {
  const choices = await Promise.all(Object.values(inputs).map(splitFiles));
  if (stars !== undefined) choices.push(await starFiles(stars));
  const paths = choices.flat().map(({ path }) => path);
  const there = await Promise.all(paths.map(exists));
  return paths.filter((_, i) => there[i]);
};

/** The form of a picture, and the note in it. @param all the files that go into it */
const pictureOf = async (
  { settled, channels, unsmoothed }: Mix,
  written: WrittenRecipe,
  all: readonly Master[],
  format: PictureFormat,
  {
    output,
    force = false,
    sample = format.samples[0]!,
    alpha,
    crop,
    size,
    legend,
    estimate,
  }: Omit<MixOptions, 'cache'> & { readonly estimate?: NoteEstimate | undefined },
) => {
  const { width, height } = channels[0]!.source;
  const bands = alpha ? (4 as const) : (3 as const);
  const above = { recipe: written, settled, facts: pictureFacts(unsmoothed, { crop: settled.crop, width, height }) };
  const whole = { ...above, form: { sample, bands }, width, height, after: estimate?.after };
  const { facts, ...strip } = await withStrip(legend, whole);
  const files = all.flatMap(({ name, files }) => files.map(({ spelling, bytes }) => ({ name, spelling, bytes })));
  return {
    output,
    force,
    format,
    legend: strip.legend,
    info: { width, height: strip.height, bands, sample, space: settled.space, facts },
    note(hashOf: (path: string) => string): string {
      const inputs = files.map(({ name, spelling, bytes }) => ({
        channel: name,
        file: basename(spelling),
        sha256: hashOf(bytes.path),
      }));
      return pictureNote(
        written,
        settled,
        inputs,
        { sample, usual: format.samples[0]!, alpha, crop, size, legend, estimate },
        facts,
      );
    },
  };
};

const formatFor = (output: string, sample: OutputSample | undefined): PictureFormat => {
  const format = formatOf(output);
  if (format === undefined) {
    const endings = PICTURE_FORMATS.map(({ extensions }) => `.${extensions[0]}`).join(', ');
    throw outputError(output, 'unknown file extension', `use one of ${endings}`);
  }
  if (sample !== undefined && !format.samples.includes(sample)) {
    const bits = format.samples.map((s) => s.slice(1)).join(' or ');
    throw outputError(
      output,
      `${format.name} is written with ${bits} bits a sample`,
      'choose other bits or another format',
    );
  }
  return format;
};

/** @throws LinewashError "output" where the picture exists and may not be replaced, or is a folder. */
export const refuseOutput = async ({ output, force }: Pick<MixOptions, 'output' | 'force'>): Promise<void> => {
  const fault = await nameFault(output, force);
  if (fault !== undefined) throw fault;
};

/** Compares device and inode, so that links and other spellings of a path are seen through. */
export const refuseInputAsOutput = async (output: string, masters: readonly Master[]): Promise<void> => {
  const target = await stat(output).catch(() => undefined);
  if (target === undefined) return;
  for (const { bytes } of masters.flatMap(({ files }) => files)) {
    const facts = await stat(bytes.path);
    if (facts.dev === target.dev && facts.ino === target.ino)
      throw outputError(output, 'is one of the masters; masters are never overwritten', 'choose another name');
  }
};
