import type { Defect } from '../check/defects.ts';
import { howSure, whatOf, whereOf } from '../check/words.ts';
import { table } from './table.ts';

/** A line for each defect: which master, what, where, how sure. */
export const defectTable = (defects: readonly Defect[]): string =>
  defects.length === 0
    ? 'No trail, column, row, seam or lone spot was found.\n'
    : table(
        ['line', 'what', 'where (x,y from the top left)', 'how sure'],
        defects.map((defect) => [defect.channel, whatOf(defect), whereOf(defect), howSure(defect)]),
      );
