import { combinationNotes } from '../recipe/settle/combinations.ts';
import { type CheckReport, checkLines } from '../work/check.ts';
import type { Zeros } from '../work/open-lines.ts';
import { withLines } from './masters/file-lines.ts';
import { readWarnings } from './masters/read-warnings.ts';
import { withExecutor } from './threads/executor.ts';

/** The masters to be checked. */
export interface CheckOptions {
  /** Line → file, with an optional selector; files of one line with commas between are combined. */
  readonly inputs: Readonly<Record<string, string>>;
  /** Whether zeros connected to the border are missing data; 'undefined', that they are, by default. */
  readonly zeros?: Zeros | undefined;
  /** Combines masters of a line that lie more than a pixel apart, with a warning. */
  readonly apart?: boolean | undefined;
  readonly signal?: AbortSignal | undefined;
  /** Called with the stage and the share of it that is done, 0…1. */
  readonly progress?: ((stage: 'open' | 'check' | 'register', done: number) => void) | undefined;
}

/**
 * Looks for what is wrong with masters before they are mixed: trails, columns, rows, seams, bright spots that only one line
 * has, and what does not fit together. Coordinates are pixels from the centre of the top left one.
 * @throws LinewashError 'input' or 'format' naming the file
 */
export const checkFiles = (options: CheckOptions): Promise<CheckReport> => {
  const { inputs, apart, signal, zeros = 'undefined', progress } = options;
  const show = (stage: 'open' | 'check' | 'register') => (done: number) => progress?.(stage, done);
  return withExecutor(signal, (executor) =>
    withLines(inputs, { apart, signal, executor }, async (lines) => {
      const masters = await lines.masters(zeros, { progress: show('open') });
      const report = await checkLines(lines, Object.keys(inputs), zeros, {
        signal,
        executor,
        progress: show('check'),
        registering: show('register'),
      });
      return {
        ...report,
        warnings: [...masters.flatMap(readWarnings), ...report.warnings, ...combinationNotes(masters)],
      };
    }),
  );
};
