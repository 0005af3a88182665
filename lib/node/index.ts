/** `linewash` on Node: what `surface.ts` shows, its functions with a look at their arguments. */

export * from '../index.ts';
export {
  batchFiles,
  checkFiles,
  closeMasters,
  faintFiles,
  hoursFiles,
  measureFiles,
  mixFiles,
  openMasters,
  sheetFiles,
  starlessFiles,
  suggestFiles,
  tallyFiles,
} from './checked.ts';
export * from './verbs.ts';
