import type { Defect } from '../../check/defects.ts';
import { LinewashError, type Remedy } from '../../plane/errors.ts';
import { reasonOf, systemError } from '../files/reason.ts';
import type { BatchPicture } from './jobs.ts';

/** What became of one picture. Plain data: one line of the report. */
export interface PictureReport {
  readonly target: string;
  readonly recipe: string;
  /** Absolute path. */
  readonly output: string;
  /** `kept`: it was up to date; `left`: not done because the batch was interrupted. */
  readonly status: 'made' | 'kept' | 'failed' | 'left';
  /** Why it was made or kept, or the reason why it could not be made: one sentence that names the file at fault. */
  readonly why: string;
  /** What the user can do about a failure. */
  readonly advice?: string;
  /** The option that the advice speaks of. */
  readonly remedy?: Remedy;
  readonly seconds: number;
  readonly warnings: readonly string[];
  /** What one master has and the sky has not, where it was looked for; the warnings name it too. */
  readonly defects?: readonly Defect[];
}

/** The report of a picture that could not be made. */
export const failedReport = (picture: BatchPicture, thrown: unknown, seconds: number): PictureReport => {
  const cause = systemError(thrown) ?? thrown;
  const { target, recipe, output } = picture;
  const facts = { target, recipe, output, seconds, warnings: [] };
  if (!(cause instanceof LinewashError))
    return { ...facts, status: 'failed', why: `a bug in linewash: ${reasonOf(cause)}` };
  if (cause.tag === 'cancelled') return { ...facts, status: 'left', why: 'interrupted' };
  const place = cause.file === undefined || cause.file === output ? '' : `${cause.file}: `;
  const why = `${place}${cause.message}`;
  const { advice, remedy } = cause;
  return { ...facts, status: 'failed', why, ...(advice !== undefined && { advice }), ...(remedy && { remedy }) };
};
