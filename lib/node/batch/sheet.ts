import { createHash } from 'node:crypto';
import { dirname } from 'node:path';
import { formatOf } from '../../formats/pictures.ts';
import { LinewashError, type Remedy } from '../../plane/errors.ts';
import { VERSION } from '../../plane/version.ts';
import type { SheetCell } from '../../render/sheet.ts';
import { writeSheetTo } from '../../work/sheet.ts';
import { fittingSize, gridOf } from '../../work/sheet-grid.ts';
import { makeFolder } from '../files/file-sink.ts';
import { reasonOf } from '../files/reason.ts';
import { sweepTemporaries } from '../files/temporary.ts';
import { writeWhole } from '../files/write-whole.ts';
import type { CellsTask } from './cells.ts';
import { FOREIGN_ADVICE, foreignFault } from './decide.ts';
import type { BatchPicture, BatchWork } from './jobs.ts';
import { noteOf } from './note-of.ts';
import { type BatchWorker, share } from './worker.ts';

/** What became of the sheet. */
export interface SheetReport {
  readonly output: string;
  readonly status: 'made' | 'kept' | 'failed' | 'left';
  readonly why: string;
  /** What the user can do about a failure, and the option that it speaks of. */
  readonly advice?: string;
  readonly remedy?: Remedy;
}

/**
 * Draws the whole batch as one picture, a row a target and a column a recipe, from the masters and the settled numbers
 * in the pictures' notes; not again where the same pictures are shown already. Never throws.
 */
export const drawBatchSheet = async (
  work: BatchWork,
  pool: readonly BatchWorker[],
  signal: AbortSignal,
  { force = false }: { readonly force?: boolean | undefined } = {},
): Promise<SheetReport> => {
  const { file, size } = work.sheet!;
  const report = (status: SheetReport['status'], why: string): SheetReport => ({ output: file, status, why });
  try {
    await sweepTemporaries(dirname(file));
    const rows = rowsOf(work);
    const key = await keyOf(rows, size);
    const before = await noteOf(file);
    if (before.kind === 'foreign' && !force)
      return { ...report('failed', foreignFault(before.why)), ...FOREIGN_ADVICE };
    if (before.kind === 'ours' && before.note.sheet === key && !force) return report('kept', 'up to date');
    const cells = await cellsOf(rows, fittingSize(size, rows.length * rows[0]!.length), pool, signal);
    if (signal.aborted) return report('left', 'interrupted');
    await write(file, cells, rows[0]!.length, key);
    return report('made', before.kind === 'none' ? 'new' : 'pictures changed');
  } catch (cause) {
    const place = cause instanceof LinewashError && cause.file !== file && cause.file ? `${cause.file}: ` : '';
    return report('failed', place + reasonOf(cause));
  }
};

type Row = (BatchPicture | undefined)[];

/** The first picture of each job, in a row a target and a column a recipe. */
const rowsOf = ({ jobs }: BatchWork): Row[] => {
  const columns = [...new Set(jobs.map(({ recipe }) => recipe.name))];
  const targets = [...new Set(jobs.map(({ target }) => target.name))];
  return targets.map((name) =>
    columns.map(
      (column) => jobs.find(({ target, recipe }) => target.name === name && recipe.name === column)?.pictures[0],
    ),
  );
};

/** Stands for all that the sheet shows: equal for equal pictures. */
const keyOf = async (rows: readonly Row[], size: number): Promise<string> => {
  const hash = createHash('sha256').update(JSON.stringify([VERSION, size, rows.length]));
  for (const picture of rows.flat()) {
    const found = picture === undefined ? undefined : await noteOf(picture.output);
    const text = found?.kind === 'ours' ? found.text : '';
    hash.update(JSON.stringify([picture?.target, picture?.recipe, text]));
  }
  return hash.digest('hex');
};

const cellsOf = async (
  rows: readonly Row[],
  size: number,
  pool: readonly BatchWorker[],
  signal: AbortSignal,
): Promise<SheetCell[]> => {
  const tasks = rows.map((pictures): CellsTask => ({ kind: 'cells', pictures, size }));
  const drawn: (readonly SheetCell[])[] = [];
  await share(
    tasks,
    pool,
    signal,
    () => {},
    (task, outcome) => {
      if ('broken' in outcome) throw outcome.broken;
      drawn[task] = outcome.result;
    },
  );
  return drawn.flat();
};

const write = async (file: string, cells: readonly SheetCell[], columns: number, key: string): Promise<void> => {
  const sheet = gridOf(cells, columns);
  const note = JSON.stringify({ linewash: 1, sheet: key, writer: VERSION });
  await makeFolder(dirname(file));
  await writeWhole(file, true, (sink) => writeSheetTo(sink, formatOf(file)!, sheet, note));
};
