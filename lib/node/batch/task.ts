import type { SheetCell } from '../../render/sheet.ts';
import { type CellsTask, drawCells } from './cells.ts';
import type { BatchPicture } from './jobs.ts';
import { makePicture } from './make-picture.ts';
import { defectSearch } from './master-defects.ts';
import type { PictureReport } from './picture-report.ts';

/** Work on one target for one thread: its pictures together, so that masters are hashed and measured once. */
export interface PicturesTask {
  readonly kind: 'pictures';
  readonly pictures: readonly BatchPicture[];
  readonly force: boolean;
  readonly threads: number;
  readonly cache: string | undefined;
  /** Combines masters of a line that lie more than a pixel apart, with a warning. */
  readonly apart?: boolean | undefined;
  /** Looks for defects of the masters of each picture that is made: trails, columns, seams, spots. */
  readonly defects?: boolean | undefined;
}

/** Plain data. */
export type Task = PicturesTask | CellsTask;

/** What happens while a task is done. */
export type TaskEvent =
  | { readonly kind: 'report'; readonly report: PictureReport }
  /** Share of the picture in work that is done, 0…1. */
  | { readonly kind: 'progress'; readonly done: number };

/** The cells that were drawn; none for pictures, which are reported one by one. */
export type TaskResult = readonly SheetCell[];

/** @throws LinewashError 'cancelled' where cells were interrupted; pictures report it instead. */
export const doTask = async (
  task: Task,
  signal: AbortSignal,
  emit: (event: TaskEvent) => void,
): Promise<TaskResult> => {
  if (task.kind === 'cells') return drawCells(task, signal);
  const { force, threads, cache, apart } = task;
  const search = task.defects ? defectSearch() : undefined;
  for (const picture of task.pictures) {
    const progress = (done: number) => emit({ kind: 'progress', done });
    const report = await makePicture(picture, { force, threads, cache, apart, search, signal, progress });
    emit({ kind: 'report', report });
  }
  return [];
};
