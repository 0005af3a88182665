/** `linewash` on Node: what `surface.ts` shows, its functions with a look at their arguments. */

export * from '../index.ts';
export {
  batchFiles,
  closeMasters,
  faintFiles,
  hoursFiles,
  measureFiles,
  mixFiles,
  openMasters,
  sheetFiles,
  starlessFiles,
  suggestFiles,
} from './checked.ts';
export * from './verbs.ts';
