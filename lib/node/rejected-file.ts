import { resolve } from 'node:path';
import { writeMono } from '../formats/fits/write.ts';
import { formatOf, type PictureFormat } from '../formats/pictures.ts';
import type { Box } from '../plane/box.ts';
import type { ByteSink } from '../plane/bytes.ts';
import { inputError, LinewashError, outputError } from '../plane/errors.ts';
import type { Card } from '../plane/facts.ts';
import type { PictureWriter } from '../plane/picture.ts';
import type { StripOptions } from '../plane/strips.ts';
import { VERSION } from '../plane/version.ts';
import {
  type CombinedParts,
  type RejectedBand,
  type RejectedCount,
  type RejectedMaster,
  readRejected,
  rejectedMasters,
} from '../work/rejected.ts';
import { hexOf, REJECTED_COLOURS, REJECTED_IN_SEVERAL } from '../work/rejected-colours.ts';
import { nameFault } from './files/name-fault.ts';
import { writeWhole } from './files/write-whole.ts';
import type { Master } from './masters/masters.ts';

/** The pixels left out of a master, and what marks them in the picture. */
export interface RejectedReport extends RejectedCount {
  /** Of its pixels in a TIFF or PNG, as CSS writes it. */
  readonly colour?: string | undefined;
  /** Of its pixels in FITS; where pixels were left out of several masters, their values are added. */
  readonly value?: number | undefined;
}

/** A picture of rejected pixels that can be written. */
export interface RejectedWish {
  readonly file: string;
  readonly format: PictureFormat;
  readonly force: boolean;
}

/** Masters that 16 bits can tell apart. */
const MOST_IN_FITS = 16;

/**
 * The format of a picture of rejected pixels, before anything is read for it.
 * @throws LinewashError 'output' where the file cannot be written, 'usage' where the picture it stands beside is shrunk
 */
export const rejectedWish = async (
  file: string,
  { output, size, force = false }: { output: string; size?: number | undefined; force?: boolean | undefined },
): Promise<RejectedWish> => {
  const format = formatOf(file);
  if (format === undefined || format.name === 'JPEG')
    throw outputError(file, 'rejected pixels are written as .tif, .png or .fits', 'choose one of these endings');
  if (size !== undefined)
    throw new LinewashError({
      tag: 'usage',
      message: 'rejected pixels are shown at full size, and this picture is shrunk',
      advice: 'leave out the size, or mix once more at full size for them',
    });
  if (resolve(file) === resolve(output))
    throw outputError(file, 'is the name of the mix as well', 'give the rejected pixels another name');
  const fault = await nameFault(file, force);
  if (fault !== undefined) throw fault;
  return { file, format, force };
};

/**
 * The lines whose masters were combined, for a picture of what was rejected.
 * @throws LinewashError 'input' where there are none, or more masters than the picture can tell apart
 */
export const combinedParts = (masters: readonly Master[], { format }: RejectedWish): CombinedParts[] => {
  const lines = masters.flatMap(({ name, match }) => (match ? [{ line: name, parts: match.parts }] : []));
  if (lines.length === 0)
    throw inputError(
      'each line has one master: nothing is combined, and nothing rejected',
      'give several masters for a line, such as O=a.fits,b.fits',
    );
  const { length } = rejectedMasters(lines);
  const most = format.name === 'FITS' ? MOST_IN_FITS : REJECTED_COLOURS.length;
  if (length > most)
    throw inputError(
      `${length} masters are combined, and ${format.name} tells the rejected pixels of ${most} apart`,
      format.name === 'FITS' ? 'combine fewer masters' : `write .fits, which tells ${MOST_IN_FITS} apart`,
    );
  return lines;
};

/**
 * Writes the picture of rejected pixels, band by band, and then does `after`: the file is there where both ended well.
 * @param box the part of the frame that the mix shows
 */
export const writeRejected = (
  { file, format, force }: RejectedWish,
  lines: readonly CombinedParts[],
  box: Box | undefined,
  after: () => Promise<void>,
  options: StripOptions = {},
): Promise<RejectedReport[]> =>
  writeWhole(file, force, async (sink) => {
    const { width, height } = box ?? lines[0]!.parts[0]!.source;
    const masters = rejectedMasters(lines);
    const form = format.name === 'FITS' ? inValues(sink, masters) : inColours(sink, masters, format);
    const writer = await form.begin(width, height);
    const counts = await readRejected(
      lines,
      box,
      ({ rows, each }) => writer.writeRows(form.rows(rows * width, each)),
      options,
    );
    await writer.finish();
    await after();
    return counts.map((count, k) => ({ ...count, ...form.sign(k) }));
  });

/** How one kind of file shows which master a pixel was left out of. */
interface Form {
  begin(width: number, height: number): Promise<PictureWriter> | PictureWriter;
  rows(pixels: number, each: RejectedBand['each']): Uint8Array | Uint16Array;
  sign(master: number): Pick<RejectedReport, 'colour' | 'value'>;
}

/** 16 bits, one for each master. */
const inValues = (sink: ByteSink, masters: readonly RejectedMaster[]): Form => ({
  begin: (width, height) => writeMono(sink, { width, height, type: 'u16', cards: cardsOf(masters) }),
  rows(pixels, each) {
    const rows = new Uint16Array(pixels);
    each((index, master) => {
      rows[index]! |= 1 << master;
    });
    return rows;
  },
  sign: (master) => ({ value: 1 << master }),
});

/** 8 bits a colour on black. */
const inColours = (sink: ByteSink, masters: readonly RejectedMaster[], format: PictureFormat): Form => ({
  begin: (width, height) =>
    format.writer(sink, { width, height, bands: 3, sample: 'u8', space: 'srgb', note: noteOf(masters) }),
  rows(pixels, each) {
    const rows = new Uint8Array(3 * pixels);
    each((index, master) => {
      const before = rows.subarray(3 * index, 3 * index + 3);
      before.set(before.some((value) => value > 0) ? REJECTED_IN_SEVERAL : REJECTED_COLOURS[master]!);
    });
    return rows;
  },
  sign: (master) => ({ colour: hexOf(REJECTED_COLOURS[master]!) }),
});

const ascii = (text: string): string => text.replace(/[^ -~]/g, '?');

/** No recipe: readers of notes know one by its first letter. */
const noteOf = (masters: readonly RejectedMaster[]): string =>
  [
    `Pixels rejected by linewash ${VERSION}, by the master they were left out of`,
    ...masters.map(({ line, file }, k) => `${hexOf(REJECTED_COLOURS[k]!)} ${line} ${ascii(file)}`),
    `${hexOf(REJECTED_IN_SEVERAL)} several`,
  ].join('; ');

const cardsOf = (masters: readonly RejectedMaster[]): Card[] => {
  const history = (comment: string): Card => ({ keyword: 'HISTORY', value: undefined, comment: ` ${comment}` });
  return [
    history(`Pixels rejected by linewash ${VERSION}: 0 for none, else the sum of`),
    // A card holds 71 letters of it.
    ...masters.map(({ line, file }, k) => history(`${1 << k} ${line} ${ascii(file).slice(-(56 - line.length))}`)),
  ];
};
