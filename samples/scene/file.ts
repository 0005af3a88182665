import { writeMono } from '../../lib/formats/fits/write.ts';
import { memorySink } from '../../lib/plane/bytes.ts';
import type { Card } from '../../lib/plane/facts.ts';
import { GAIN, OPTICS, READ_NOISE } from './camera.ts';
import { drawMaster } from './master.ts';
import { LATER, LATER_STEP, type Line, type PerLine } from './options.ts';
import type { LineTruth } from './truth.ts';

/** The name of the invented nebula. */
export const OBJECT = 'Emberwing';

/** Invented starts of the first night of each line. */
const NIGHTS: PerLine<string> = { S: '2025-01-24T19:10:00', H: '2025-01-20T19:05:00', O: '2025-01-28T19:20:00' };

const comment = (text: string): Card => ({ keyword: 'COMMENT', value: undefined, comment: ` ${text}` });

const LATER_NIGHT = '2025-02-21T19:40:00';

const cardsOf = (truth: LineTruth, night: string): Card[] => [
  { keyword: 'OBJECT', value: OBJECT, comment: 'invented: no such nebula exists' },
  { keyword: 'FILTER', value: OPTICS[truth.line].filter },
  { keyword: 'EXPTIME', value: truth.exposure, comment: '[s] one sub' },
  { keyword: 'NCOMBINE', value: truth.subs, comment: 'subs averaged' },
  { keyword: 'DATE-OBS', value: night, comment: 'invented' },
  { keyword: 'EGAIN', value: GAIN, comment: 'electrons per count' },
  { keyword: 'RDNOISE', value: READ_NOISE, comment: '[electron] of one sub' },
  comment('An invented scene, computed by samples/make.mjs of linewash. Not an'),
  comment('observation: nebula, stars, sky, noise and dates are made up.'),
  comment('Free of rights: CC0-1.0.'),
];

/** The name of a shipped master. */
export const masterName = (line: Line): string => `emberwing-${line}.fits`;

/** The name of the master of O from a later night. */
export const LATER_NAME = 'emberwing-O-later.fits.gz';

/** One line's master as the bytes of a FITS file: 16 bits unsigned, with a header like a stack's. */
export const masterFile = (truth: LineTruth, noiseSeed: number): Promise<Uint8Array<ArrayBuffer>> =>
  fileOf(truth, drawMaster(truth, noiseSeed), NIGHTS[truth.line]);

/** The master of O from a later night as the bytes of a FITS file, not yet compressed. */
export const laterFile = (truth: LineTruth): Promise<Uint8Array<ArrayBuffer>> =>
  fileOf(truth, drawMaster(truth, LATER.noiseSeed, LATER_STEP), LATER_NIGHT);

const fileOf = async (truth: LineTruth, data: Uint16Array, night: string): Promise<Uint8Array<ArrayBuffer>> => {
  const sink = memorySink();
  const { width, height } = truth;
  const writer = writeMono(sink, { width, height, type: 'u16', cards: cardsOf(truth, night) });
  await writer.writeRows(data);
  await writer.finish();
  await sink.close();
  return sink.bytes();
};
