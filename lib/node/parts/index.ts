/** `linewash/parts` on Node: what `surface.ts` shows, its functions with a look at their arguments. */

export * from '../../parts/index.ts';
export { fileSink, openFile, planBatch, planFiles, runBatch } from './checked.ts';
export * from './files.ts';
