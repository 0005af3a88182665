import { fileSink } from '../files/file-sink.ts';
import type { BatchResult } from './run.ts';

/** A line of JSON for each picture in the order of the jobs, then one with the counts and the sheet. */
export const reportText = ({ pictures, ...rest }: BatchResult): string =>
  [...pictures, rest].map((entry) => `${JSON.stringify(entry)}\n`).join('');

/**
 * Writes the report of a run; that of an earlier run is replaced. It appears when it is whole.
 * @throws LinewashError 'output'
 */
export const writeReport = async (file: string, result: BatchResult): Promise<void> => {
  const sink = await fileSink(file, true);
  try {
    await sink.writeAt(0, new TextEncoder().encode(reportText(result)));
  } catch (cause) {
    await sink.abort();
    throw cause;
  }
  await sink.close();
};
