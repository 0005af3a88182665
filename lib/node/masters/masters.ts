import { basename } from 'node:path';
import { openPlane } from '../../formats/open.ts';
import { borderZeros } from '../../measure/border.ts';
import { inputError } from '../../plane/errors.ts';
import { fromFile } from '../../plane/from-file.ts';
import type { Mask } from '../../plane/mask.ts';
import { hidePixels } from '../../plane/memory-plane.ts';
import type { PlaneSource } from '../../plane/plane.ts';
import { ofPieces } from '../../plane/progress.ts';
import { combined } from '../../prepare/combine.ts';
import { BORDERLESS, INTACT } from '../cache/finding-kinds.ts';
import { type FindingsCache, NO_CACHE } from '../cache/findings-cache.ts';
import { fileIdentity, recollection } from '../files/file-identity.ts';
import { openFile } from '../files/file-source.ts';
import { type FileChoice, splitFiles } from '../files/spelling.ts';
import { combineOnce } from './combine-files.ts';
import { type Places, placesInside } from './inside-gzip.ts';
import type { Master, MasterFile, OpenOptions } from './master.ts';

export type { Master, OpenOptions };

/**
 * Opens masters by channel name. `closeMasters` must be called at the end.
 * @throws LinewashError 'input' or 'format' naming the file; nothing stays open then.
 */
export const openMasters = (files: Readonly<Record<string, string>>, options: OpenOptions = {}): Promise<Master[]> =>
  openKnown(files, options, NO_CACHE);

/** The same, with what earlier runs found of the files. */
export const openKnown = async (
  files: Readonly<Record<string, string>>,
  options: OpenOptions,
  cache: FindingsCache,
): Promise<Master[]> => {
  const all = Object.entries(files);
  const progress = ofPieces(all.length, options.progress);
  const places = await placesInside(Object.values(files), options.executor);
  // All at once: while this thread inflates one, others look through those that are open.
  const opened = await Promise.allSettled(
    all.map(([name, spelling], i) => openMaster(name, spelling, { ...options, cache, places, progress: progress(i) })),
  );
  const masters = opened.flatMap((result) => (result.status === 'fulfilled' ? [result.value] : []));
  const failed = opened.find((result) => result.status === 'rejected');
  if (failed === undefined) return masters;
  await closeMasters(masters);
  throw failed.reason;
};

/** Lets go of the files of masters. */
export const closeMasters = async (masters: readonly Master[]): Promise<void> => {
  await Promise.all(masters.map(({ files }) => closeFiles(files)));
};

export const closeFiles = (files: readonly MasterFile[]) => Promise.all(files.map(({ bytes }) => bytes.close()));

type KnownOptions = OpenOptions & { readonly cache: FindingsCache; readonly places: Places | undefined };

const openMaster = async (name: string, spelling: string, options: KnownOptions): Promise<Master> => {
  const choices = await splitFiles(spelling);
  refuseRepeated(choices);
  const files: MasterFile[] = [];
  const sources: PlaneSource[] = [];
  try {
    const progress = ofPieces(choices.length, options.progress);
    for (const [i, { path, selector, spelling }] of choices.entries()) {
      const bytes = await openFile(path, spelling);
      files.push({ bytes, spelling });
      const plane = await withCheckSums(
        await openPlane(bytes, selector, options.places?.get(spelling)),
        path,
        options.cache,
      );
      const whole = fromFile(plane, { file: spelling, at: path, selector });
      const mask = await borderOf(whole, path, { ...options, progress: progress(i) });
      progress(i)(1);
      sources.push(mask ? hidePixels(whole, mask) : whole);
    }
    const { bytes } = files[0]!;
    if (sources.length === 1) return { name, spelling, bytes, files, source: sources[0]! };
    const match = await combineOnce(files, sources, options);
    return { name, spelling, bytes, files, source: combined(match.parts), match };
  } catch (cause) {
    await closeFiles(files);
    throw cause;
  }
};

/** Files whose checksums fit, by identity and selector. */
const intact = recollection<true>(1024);

/** The source with what the file's checksums say against it among its warnings, unless it is known that they fit. */
const withCheckSums = async (source: PlaneSource, path: string, cache: FindingsCache): Promise<PlaneSource> => {
  if (source.checkSums === undefined) return source;
  const key = JSON.stringify([fileIdentity(path), source.file]);
  if (intact.get(key) ?? cache.get(INTACT, source.file, [path])) return source;
  const found = await source.checkSums();
  if (found.length > 0) return { ...source, warnings: [...source.warnings, ...found] };
  intact.set(key, true);
  cache.set(INTACT, source.file, [path], true);
  return source;
};

/** Files without a border of zeros, by identity and selector. */
const borderless = recollection<true>(1024);

/** Looks for a border of zeros, unless it is known that there is none. */
const borderOf = async (source: PlaneSource, path: string, options: KnownOptions): Promise<Mask | undefined> => {
  if (options.zeros === 'data') return undefined;
  const { cache } = options;
  const key = JSON.stringify([fileIdentity(path), source.file]);
  if (borderless.get(key) ?? cache.get(BORDERLESS, source.file, [path])) return undefined;
  const mask = await borderZeros(source, options);
  if (mask === undefined) {
    borderless.set(key, true);
    cache.set(BORDERLESS, source.file, [path], true);
  }
  return mask;
};

const refuseRepeated = (choices: readonly FileChoice[]): void => {
  const again = choices.find((choice, i) => choices.findIndex((c) => c.spelling === choice.spelling) < i);
  if (again !== undefined) throw inputError('is given twice for one line', 'give each master once', again.spelling);
};

/** @throws LinewashError 'input' where one file stands for two lines. */
export const refuseSameFile = (files: Readonly<Record<string, string>>): void => {
  const seen = new Map<string, string>();
  for (const [name, file] of Object.entries(files)) {
    const other = seen.get(file);
    if (other !== undefined)
      throw inputError(
        `${basename(file)} is given for both ${other} and ${name}`,
        'give each line its own master',
        file,
      );
    seen.set(file, name);
  }
};
