/** What computes: loaded when something is smoothed, as most pictures are not. */
export { operations } from './choose-operations.ts';
export { removedRows } from './removed.ts';
