/** The invented targets of the samples: their truth, draws of their noise, their masters and subs as files. Platform-free. */
export {
  APART,
  drawStarPicture,
  STARLESS,
  STARS_NAME,
  starlessName,
  starlessOptions,
  starPictureFile,
  starsName,
} from './apart.ts';
export { GAIN, noiseOf, OPTICS, PEDESTAL, READ_NOISE } from './camera.ts';
export { LAST_YEAR_NAME, LATER_NAME, lastYearFile, laterFile, masterFile, masterName, OBJECT } from './file.ts';
export type { FlawOptions } from './flaw-options.ts';
export type { Flaws, HotPixel, SeamTruth, TrailTruth } from './flaws.ts';
export { drawMaster, drawStack, noisePlane } from './master.ts';
export { type Night, type Run, SEASON } from './nights.ts';
export {
  EMBERWING,
  LATER,
  LATER_STEP,
  LINES,
  type Line,
  type Misfit,
  type PerLine,
  type SceneOptions,
  type TargetName,
} from './options.ts';
export { LAST_YEAR } from './palehoop.ts';
export { type SampleFile, type SampleRequest, sampleFiles } from './sample-files.ts';
export { type Sub, subsOf } from './subs.ts';
export { TARGET_NAMES, TARGETS } from './targets.ts';
export { type LineTruth, lineTruth, sceneTruth, TURNED_NIGHT } from './truth.ts';
