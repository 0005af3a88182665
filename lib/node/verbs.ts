/** The verbs that need files, and the types they speak of. */

export type { Defect, DefectKind, Point } from '../check/defects.ts';
export type { AreaReading, HoursTo } from '../faint/area.ts';
export type { Feature } from '../faint/features.ts';
export type { FaintMap, ScaleReport } from '../faint/map.ts';
export type { Threshold } from '../faint/octave.ts';
export type { Wander } from '../faint/wander.ts';
export type { Goal, HoursAdvice } from '../hours/advice.ts';
export type { Allocation } from '../hours/allocate.ts';
export type { FutureNoise } from '../hours/future.ts';
export type { Ledger } from '../hours/ledger.ts';
export type { LineHours } from '../hours/line-hours.ts';
export type { MonteCarlo } from '../hours/monte-carlo.ts';
export type { Quantity } from '../hours/outputs.ts';
export type { SnrOf } from '../hours/snr.ts';
export type { ChannelRegistration } from '../measure/registration/channels.ts';
export type { Box, BoxNumbers } from '../plane/box.ts';
export type { CombinedLine } from '../recipe/settle/combinations.ts';
export type { Suggestion } from '../recipe/suggest/suggest.ts';
export type { StarList } from '../stars/star-list.ts';
export type { Tally, TallyLine, TallyNight, TallyTarget } from '../tally/tally.ts';
export type { CheckedMaster, CheckReport } from '../work/check.ts';
export type { AskedArea, Faint, FaintFeature, FaintWish } from '../work/faint-report.ts';
export type { HoursLine, HoursMove, MixHours, MixHoursWish } from '../work/hours.ts';
export type { StarLineReport, StarLook, StarsReport } from '../work/list-stars.ts';
export type { MeasuredLine } from '../work/measure.ts';
export type { Zeros } from '../work/open-lines.ts';
export type { SuggestedMixes } from '../work/suggest.ts';
export { type BatchOptions, batchFiles } from './batch/batch-files.ts';
export type { BatchPicture } from './batch/jobs.ts';
export type { Pace } from './batch/pace.ts';
export type { PictureReport } from './batch/picture-report.ts';
export type { BatchResult } from './batch/run.ts';
export type { BatchPlan } from './batch/schema.ts';
export type { Shard } from './batch/shard.ts';
export type { SheetReport } from './batch/sheet.ts';
export { type CheckOptions, checkFiles } from './check-files.ts';
export { type FaintOptions, type FaintResult, faintFiles } from './faint-files.ts';
export type { FileSource } from './files/file-source.ts';
export { type HoursOptions, hoursFiles } from './hours-files.ts';
export type { Master, MasterFile, OpenOptions } from './masters/master.ts';
export { closeMasters, openMasters } from './masters/masters.ts';
export {
  type MeasuredFile,
  type MeasureOptions,
  type MeasureResult,
  measureFiles,
  type SurfaceLookOptions,
} from './measure-files.ts';
export { type MixOptions, type MixResult, mixFiles } from './mix-files.ts';
export type { RejectedReport } from './rejected-file.ts';
export { type SheetOptions, type SheetRecipe, type SheetResult, sheetFiles } from './sheet-files.ts';
export { type StarlessOptions, type StarlessResult, starlessFiles } from './starless-files.ts';
export { type SuggestOptions, suggestFiles } from './suggest-files.ts';
export type { SurfaceReport } from './surface-files.ts';
export { type TallyOptions, tallyFiles } from './tally-files.ts';
