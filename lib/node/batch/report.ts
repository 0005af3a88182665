import { writeContent } from '../files/write-whole.ts';
import type { BatchResult } from './run.ts';

/** A line of JSON for each picture in the order of the jobs, then one with the counts and the sheet. */
export const reportText = ({ pictures, ...rest }: BatchResult): string =>
  [...pictures, rest].map((entry) => `${JSON.stringify(entry)}\n`).join('');

/**
 * Writes the report of a run; that of an earlier run is replaced. It appears when it is whole.
 * @throws LinewashError 'output'
 */
export const writeReport = (file: string, result: BatchResult): Promise<void> =>
  writeContent(file, true, reportText(result));
