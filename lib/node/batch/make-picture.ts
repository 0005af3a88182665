import { dirname } from 'node:path';
import { inputError, outputError, throwIfCancelled } from '../../plane/errors.ts';
import { makeFolder } from '../files/file-sink.ts';
import { mixFiles } from '../mix-files.ts';
import { decide } from './decide.ts';
import type { BatchPicture } from './jobs.ts';
import { type DefectSearch, defectWords } from './master-defects.ts';
import { failedReport, type PictureReport } from './picture-report.ts';

export interface MakeOptions {
  /** Makes it even where it is up to date. */
  readonly force: boolean;
  /** Threads that compute one picture. */
  readonly threads: number;
  readonly cache?: string | undefined;
  /** Combines masters of a line that lie more than a pixel apart, with a warning. */
  readonly apart?: boolean | undefined;
  /** Finds defects of the masters of what is made; they are not looked for where it is absent. */
  readonly search?: DefectSearch | undefined;
  readonly signal?: AbortSignal | undefined;
  /** Called with the share that is done, 0…1. */
  readonly progress?: ((done: number) => void) | undefined;
}

/** Share of the time that measuring takes, about. */
const MEASURING = 0.6;

/** Makes one picture if it is not there yet or out of date. Never throws: what went wrong is in the report. */
export const makePicture = async (picture: BatchPicture, options: MakeOptions): Promise<PictureReport> => {
  const began = performance.now();
  const seconds = () => Math.round(performance.now() - began) / 1000;
  try {
    const { target, recipe, output } = picture;
    const result = await makeOrKeep(picture, options);
    return { target, recipe, output, ...result, seconds: seconds() };
  } catch (cause) {
    return failedReport(picture, cause, seconds());
  }
};

type Outcome = Pick<PictureReport, 'status' | 'why' | 'warnings' | 'defects'>;

const makeOrKeep = async (picture: BatchPicture, options: MakeOptions): Promise<Outcome> => {
  throwIfCancelled(options.signal);
  const { fault, output } = picture;
  if (fault !== undefined) throw inputError(fault, 'add what is missing, or leave the recipe out for this target');
  const decision = await decide(picture, options.force);
  if (decision.kind === 'keep') return { status: 'kept', why: decision.why, warnings: [] };
  if (decision.kind === 'refuse') {
    const { why, advice, remedy } = decision;
    throw outputError(output, why, advice, remedy);
  }
  try {
    const warnings = await mix(picture, decision.replace, options);
    const defects = await options.search?.(picture.inputs, options);
    return {
      status: 'made',
      why: decision.why,
      warnings: [...warnings, ...(defects ?? []).map(defectWords)],
      ...(defects && { defects }),
    };
  } catch (cause) {
    if (!decision.replace && (await madeMeanwhile(picture)))
      return { status: 'kept', why: 'made by another run meanwhile', warnings: [] };
    throw cause;
  }
};

const mix = async (picture: BatchPicture, replace: boolean, options: MakeOptions): Promise<readonly string[]> => {
  const { written, inputs, output, sample, space, alpha, crop, stars, size } = picture;
  const { threads, cache, apart, signal, progress } = options;
  await makeFolder(dirname(output));
  const result = await mixFiles({
    recipe: written,
    inputs,
    output,
    sample,
    space,
    alpha,
    crop,
    stars,
    size,
    threads,
    cache,
    apart,
    signal,
    force: replace,
    progress: (stage, done) => progress?.(stage === 'measure' ? MEASURING * done : MEASURING + (1 - MEASURING) * done),
  });
  return result.warnings;
};

/** Two batches over one folder may come to the same picture at the same time; the first to be ready puts it there. */
const madeMeanwhile = async (picture: BatchPicture): Promise<boolean> => {
  const decision = await decide(picture, false).catch(() => undefined);
  return decision?.kind === 'keep';
};
