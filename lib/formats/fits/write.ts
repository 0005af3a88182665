import type { ByteSink } from '../../plane/bytes.ts';
import type { Card } from '../../plane/facts.ts';
import type { OutputSample, PictureInfo, PictureLayout, PictureWriter, SpaceName } from '../../plane/picture.ts';
import type { PictureFacts } from '../../plane/picture-facts.ts';
import { headerBytes } from './header-text.ts';
import { NOTE_KEYWORD } from './note.ts';
import { OUTPUT_BYTES, planesOut, planesPadding } from './planes-out.ts';
import { skyCards } from './sky.ts';

const SPACE_TEXT: Readonly<Record<SpaceName, string>> = {
  srgb: 'sRGB, display values',
  'display-p3': 'Display P3, display values',
  'srgb-linear': 'sRGB primaries, linear light',
};

/**
 * Writes a picture as a cube (FITS standard 4.0) whose planes are red, green, blue and, for 4 bands, alpha.
 * The bottom row is stored first. Rows go to their three places at once, so memory is bounded by the rows of one call.
 * The note becomes the long-string keyword LINEWASH, which `readFitsNote` recovers byte for byte.
 * @throws LinewashError 'output' for a note outside printable ASCII, or rows missing at `finish`.
 */
export const fitsWriter = (sink: ByteSink, info: PictureInfo): PictureWriter => {
  const { width, height, bands, sample } = info;
  return planesOut(sink, { width, height, planes: bands, sample, header: pictureHeader(info) });
};

/** Where the parts of a picture lie that `fitsWriter` would write. */
export const fitsLayout = (info: PictureInfo): PictureLayout => {
  const { width, height, bands, sample } = info;
  const head = pictureHeader(info);
  const padding = planesPadding({ width, height, planes: bands, sample });
  const pixelBytes = bands * height * width * OUTPUT_BYTES[sample];
  return { head, pixelOffset: head.length, pixelBytes, tail: new Uint8Array(padding), planes: true };
};

const pictureHeader = ({ width, height, bands, sample, space, note, facts }: PictureInfo): Uint8Array =>
  headerBytes([
    ...structure(sample, [width, height, bands]),
    ...(facts ? factCards(facts) : []),
    { keyword: 'HISTORY', value: undefined, comment: ` Mixed by linewash. Colour space: ${SPACE_TEXT[space]}.` },
    { keyword: 'HISTORY', value: undefined, comment: ` Planes: red, green, blue${bands === 4 ? ', alpha' : ''}.` },
    ...(note === '' ? [] : noteCards(note)),
  ]);

/** Exposures have keywords of our own: those of the standard would say that all planes were exposed alike. */
const factCards = ({ object, dateStart, dateEnd, exposures, sky }: PictureFacts): Card[] => [
  ...(object === undefined ? [] : [{ keyword: 'OBJECT', value: printable(object) }]),
  ...(dateStart === undefined ? [] : [{ keyword: 'DATE-OBS', value: dateStart, comment: 'start of the first master' }]),
  ...(dateEnd === undefined ? [] : [{ keyword: 'DATE-END', value: dateEnd, comment: 'end of the last master' }]),
  ...exposures.flatMap(({ line, hours }, i) => [
    { keyword: `LINE${i + 1}`, value: printable(line), comment: 'a line of the mix' },
    { keyword: `LINEXP${i + 1}`, value: Math.round(hours * 3.6e6) / 1000, comment: '[s] its total exposure' },
  ]),
  ...(sky ? skyCards(sky, 3) : []),
];

/** Other letters have no place in a header. */
const printable = (text: string): string => text.replace(/[^ -~]/g, '?');

const noteCards = (note: string): Card[] => [
  {
    keyword: 'HISTORY',
    value: undefined,
    comment: ` The keyword ${NOTE_KEYWORD} holds recipe, settled numbers and inputs as JSON.`,
  },
  // Not in the standard, but older readers ask for it where strings are continued.
  { keyword: 'LONGSTRN', value: 'OGIP 1.0' },
  { keyword: NOTE_KEYWORD, value: note },
];

/** What a mono master is made of. */
export interface MonoInfo {
  readonly width: number;
  readonly height: number;
  /** u16 is stored as the standard's unsigned convention, BZERO = 32768. */
  readonly type: 'u16' | 'f32';
  /** Further cards in order: FILTER, EXPTIME and so on. */
  readonly cards: readonly Card[];
}

/**
 * Writes a mono master; rows top first. As `fitsWriter`, with one plane.
 * @throws LinewashError 'output' for cards that cannot be written, or rows missing at `finish`.
 */
export const writeMono = (sink: ByteSink, info: MonoInfo): PictureWriter => {
  const { width, height, type, cards } = info;
  return planesOut(sink, {
    width,
    height,
    planes: 1,
    sample: type,
    header: headerBytes([...structure(type, [width, height]), ...cards]),
  });
};

const BITPIX: Readonly<Record<OutputSample, number>> = { u8: 8, u16: 16, f32: -32 };

const structure = (sample: OutputSample, axes: readonly number[]): Card[] => [
  { keyword: 'SIMPLE', value: true, comment: 'FITS standard 4.0' },
  { keyword: 'BITPIX', value: BITPIX[sample] },
  { keyword: 'NAXIS', value: axes.length },
  ...axes.map((length, i) => ({ keyword: `NAXIS${i + 1}`, value: length })),
  ...(sample === 'u16'
    ? [
        { keyword: 'BZERO', value: 32768 },
        { keyword: 'BSCALE', value: 1 },
      ]
    : []),
  { keyword: 'ROWORDER', value: 'BOTTOM-UP', comment: 'the first stored row is the bottom' },
];
