/** The invented scene of the samples: its truth, draws of its noise, its masters as files. Platform-free. */
export { APART, drawStarPicture, STARLESS, STARS_NAME, starlessFiles, starlessName, starPictureFile } from './apart.ts';
export { GAIN, noiseOf, OPTICS, PEDESTAL, READ_NOISE } from './camera.ts';
export { LATER_NAME, laterFile, masterFile, masterName, OBJECT } from './file.ts';
export { drawMaster, drawStack, noisePlane } from './master.ts';
export {
  EMBERWING,
  LATER,
  LATER_STEP,
  LINES,
  type Line,
  type Misfit,
  type PerLine,
  type SceneOptions,
} from './options.ts';
export { type LineTruth, sceneTruth, TURNED_NIGHT } from './truth.ts';
