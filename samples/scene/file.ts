import { writeMono } from '../../lib/formats/fits/write.ts';
import { memorySink } from '../../lib/plane/bytes.ts';
import type { Card } from '../../lib/plane/facts.ts';
import { GAIN, READ_NOISE } from './camera.ts';
import { drawMaster } from './master.ts';
import { firstStart } from './nights.ts';
import { LATER, LATER_STEP, type Line, type TargetName } from './options.ts';
import { LAST_YEAR } from './palehoop.ts';
import { TARGETS } from './targets.ts';
import type { LineTruth } from './truth.ts';

/** The name of the invented nebula that everybody sees first. */
export const OBJECT = TARGETS.emberwing.object;

const LATER_NIGHT = '2025-02-21T19:40:00';
const LAST_YEAR_NIGHT = '2024-02-05T19:30:00';

const comment = (text: string): Card => ({ keyword: 'COMMENT', value: undefined, comment: ` ${text}` });

/** What the header of anything invented says, so that nobody takes it for an observation. */
export const inventedBy = (program: string): Card[] => [
  comment(`An invented scene, computed by ${program} of linewash. Not an`),
  comment('observation: nebula, stars, sky, noise and dates are made up.'),
  comment('Free of rights: CC0-1.0.'),
];

/** What a header says about object and filter. */
export const subjectCards = (target: TargetName, line: Line): Card[] => [
  { keyword: 'OBJECT', value: TARGETS[target].object, comment: 'invented: no such nebula exists' },
  { keyword: 'FILTER', value: TARGETS[target].optics[line].filter },
];

const cardsOf = (truth: LineTruth, night: string): Card[] => [
  ...subjectCards(truth.target, truth.line),
  { keyword: 'EXPTIME', value: truth.exposure, comment: '[s] one sub' },
  { keyword: 'NCOMBINE', value: truth.subs, comment: 'subs averaged' },
  { keyword: 'DATE-OBS', value: night, comment: 'invented' },
  { keyword: 'EGAIN', value: GAIN, comment: 'electrons per count' },
  { keyword: 'RDNOISE', value: READ_NOISE, comment: '[electron] of one sub' },
  ...inventedBy(truth.target === 'emberwing' ? 'samples/make.mjs' : '"samples"'),
];

/** The name of a master. */
export const masterName = (line: Line, target: TargetName = 'emberwing'): string => `${target}-${line}.fits`;

/** The name of Emberwing's master of O from a later night. */
export const LATER_NAME = 'emberwing-O-later.fits.gz';

/** The name of Palehoop's master of O from last year. */
export const LAST_YEAR_NAME = 'palehoop-O-last-year.fits';

/** One line's master as the bytes of a FITS file: 16 bits unsigned, with a header like a stack's. */
export const masterFile = (truth: LineTruth, noiseSeed: number): Promise<Uint8Array<ArrayBuffer>> =>
  fileOf(truth, drawMaster(truth, noiseSeed), firstStart(truth.target, truth.line));

/** Emberwing's master of O from a later night as the bytes of a FITS file, not yet compressed. */
export const laterFile = (truth: LineTruth): Promise<Uint8Array<ArrayBuffer>> =>
  fileOf(truth, drawMaster(truth, LATER.noiseSeed, LATER_STEP), LATER_NIGHT);

/** Palehoop's master of O from last year as the bytes of a FITS file. */
export const lastYearFile = (truth: LineTruth): Promise<Uint8Array<ArrayBuffer>> =>
  fileOf(truth, drawMaster(truth, LAST_YEAR.noiseSeed), LAST_YEAR_NIGHT);

const fileOf = async (truth: LineTruth, data: Uint16Array, night: string): Promise<Uint8Array<ArrayBuffer>> =>
  monoFile({ width: truth.width, height: truth.height, data, cards: cardsOf(truth, night) });

/** A mono picture of 16 bits unsigned as the bytes of a FITS file. */
export const monoFile = async (picture: {
  readonly width: number;
  readonly height: number;
  readonly data: Uint16Array;
  readonly cards: readonly Card[];
}): Promise<Uint8Array<ArrayBuffer>> => {
  const { data, ...info } = picture;
  const sink = memorySink();
  const writer = writeMono(sink, { ...info, type: 'u16' });
  await writer.writeRows(data);
  await writer.finish();
  await sink.close();
  return sink.bytes();
};
