import type { HeaderFacts } from '../plane/facts.ts';

/** What a file is by its header: a sub, a frame that calibrates subs, a stack of either, or none of these. */
export type FrameKind = 'sub' | 'calibration' | 'master' | 'other';

/** What a header says, with or without its cards. */
type SaidFacts = Omit<HeaderFacts, 'cards'>;

/** How headers call frames that calibrate others, and frames taken to set up a telescope. (Common practice.) */
const CALIBRATION = /bias|dark|flat|offset|twilight|calib|defect|lamp|^(zero|comp|arc|dome)/i;
const SET_UP = /focus|point|acqui|guid|test|snap/i;

/** A stack's total exposure is longer than that of one sub; what takes a little longer is a shutter. */
const STACKED = 1.5;

/** True where a header says that several exposures went into the picture. */
const isStack = ({ kind = '', subs = 1, hours, exposure }: SaidFacts): boolean =>
  /master|stack/i.test(kind) ||
  subs > 1 ||
  (hours !== undefined && exposure !== undefined && hours * 3600 > STACKED * exposure);

/** True for a frame, single or stacked, that calibrates others. */
export const isCalibration = ({ kind = '' }: SaidFacts): boolean => CALIBRATION.test(kind);

/** What a file is; a header that says nothing about it is that of a sub. */
export const frameKind = (facts: SaidFacts): FrameKind => {
  if (isStack(facts)) return 'master';
  const { kind = '' } = facts;
  return isCalibration(facts) ? 'calibration' : SET_UP.test(kind) ? 'other' : 'sub';
};
