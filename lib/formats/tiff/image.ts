import { type TiffDirectory, type TiffFile, tiffFault } from './directory.ts';
import { STORED_BYTES, STORED_RANGE, type StoredType } from './stored-type.ts';
import { TAG } from './tags.ts';
import { readNumber, readNumbers, readText } from './values.ts';

/** What a page's directory says about its pixels, checked against what this reader can read rightly. */
export interface TiffImage {
  /** Stored size in pixels, before Orientation. */
  readonly width: number;
  readonly height: number;
  readonly type: StoredType;
  readonly samplesPerPixel: number;
  /** True where each sample of the pixels has strips or tiles of its own. */
  readonly planar: boolean;
  readonly photometric: number;
  readonly compression: number;
  readonly predictor: number;
  /** 1 to 4: as stored, mirrored, turned by 180°, upside down. */
  readonly orientation: number;
  /** What the samples beyond the photometric ones mean (0 unspecified, 1 and 2 alpha). */
  readonly extraSamples: readonly number[];
  /** The stored value that marks a pixel without data. */
  readonly noData: number | undefined;
  readonly warnings: readonly string[];
}

const SAVE_GREY = 'save it as a 16-bit or float grey picture';

/** Sample types by SampleFormat and bits. Bits and formats that are not listed are refused. */
const TYPES: Readonly<Record<string, StoredType>> = {
  '1/8': 'u8',
  '1/16': 'u16',
  '1/32': 'u32',
  '1/64': 'u64',
  '2/8': 'i8',
  '2/16': 'i16',
  '2/32': 'i32',
  '2/64': 'i64',
  '3/16': 'f16',
  '3/32': 'f32',
  '3/64': 'f64',
};

const FORMAT_NAMES = ['', 'unsigned', 'signed', 'float', 'undefined', 'complex integer', 'complex float'];

const MOST_SAMPLES = 64;

/** The one value that a per-sample tag has for all samples. */
const sameForAll = async (file: TiffFile, directory: TiffDirectory, tag: number, absent: number, what: string) => {
  const entry = directory.get(tag);
  if (entry === undefined || entry.count === 0) return absent;
  const values = await readNumbers(file, entry, MOST_SAMPLES);
  if (values.some((value) => value !== values[0]))
    throw tiffFault(file, `its samples differ in ${what} (${values.join(', ')})`, SAVE_GREY);
  return values[0]!;
};

const readType = async (file: TiffFile, directory: TiffDirectory, warnings: string[]): Promise<StoredType> => {
  const bits = await sameForAll(file, directory, TAG.BitsPerSample, 1, 'bits');
  const format = await sameForAll(file, directory, TAG.SampleFormat, 1, 'format');
  if (format === 4) warnings.push('the format of its samples is marked as undefined; they were read as unsigned');
  const type = TYPES[`${format === 4 ? 1 : format}/${bits}`];
  if (type === undefined)
    throw tiffFault(file, `samples of ${bits} bits (${FORMAT_NAMES[format] ?? format}) are not read`, SAVE_GREY);
  if (bits === 64 && format !== 3) warnings.push('64-bit integers are read as float64: values beyond 2^53 are rounded');
  return type;
};

/** Whether samples of a type can have a value. */
const canHold = (type: StoredType, value: number): boolean => {
  const [least, most] = STORED_RANGE[type] ?? [];
  if (least === undefined || most === undefined)
    return type !== 'f32' || Number.isFinite(value) === Number.isFinite(Math.fround(value));
  return Number.isInteger(value) && value >= least && value <= most;
};

/** GDAL writes the marker as text in tag 42113; a float's marker is compared as that float. */
const readNoData = async (file: TiffFile, directory: TiffDirectory, type: StoredType, warnings: string[]) => {
  const entry = directory.get(TAG.GdalNoData);
  if (entry === undefined) return undefined;
  const text = (await readText(file, entry, 256)).trim();
  const value = text === '' ? Number.NaN : Number(text);
  if (!Number.isNaN(value)) {
    if (!canHold(type, value)) {
      warnings.push(`its no-data value ${text} cannot occur in ${type} samples and is ignored`);
      return undefined;
    }
    warnings.push(`pixels of its no-data value ${text} are undefined`);
    return type === 'f32' ? Math.fround(value) : value;
  }
  if (text.toLowerCase() !== 'nan') warnings.push(`its no-data value (tag 42113) is not a number: ${text}`);
  return undefined;
};

/** Kinds of picture whose samples are no amounts of light of one colour each. */
const REFUSED_KINDS: Readonly<Record<number, string>> = {
  3: 'a picture of palette colours',
  4: 'a transparency mask',
  5: 'a picture of printing inks',
  6: 'a picture of luminance and colour differences',
  8: 'a CIE L*a*b* picture',
  9: 'a CIE L*a*b* picture',
  10: 'a CIE L*a*b* picture',
  32803: 'a raw colour mosaic',
  32844: 'a picture of logarithmic luminance',
  32845: 'a picture of logarithmic luminance',
  34892: 'a raw picture of several colours',
};

const readPhotometric = async (
  file: TiffFile,
  directory: TiffDirectory,
  display: boolean,
  warnings: string[],
): Promise<number> => {
  const kind = await readNumber(file, directory, TAG.PhotometricInterpretation, undefined);
  if (kind === undefined) {
    warnings.push('it does not state whether zero is black or white; black was assumed');
    return 1;
  }
  if (kind > 2 && !(display && kind === 6))
    throw tiffFault(file, `it is ${REFUSED_KINDS[kind] ?? `of the unknown kind ${kind}`}`, SAVE_GREY);
  return kind;
};

const readOrientation = async (file: TiffFile, directory: TiffDirectory, warnings: string[]): Promise<number> => {
  const orientation = await readNumber(file, directory, TAG.Orientation, 1);
  if (orientation >= 5 && orientation <= 8)
    throw tiffFault(
      file,
      `it is stored turned on its side (Orientation ${orientation})`,
      'turn it upright and save it again',
    );
  if (!(orientation >= 1 && orientation <= 4)) {
    warnings.push(`its Orientation ${orientation} has no meaning and was ignored`);
    return 1;
  }
  if (orientation > 1)
    warnings.push(
      `it was ${['mirrored', 'turned by 180°', 'turned upside down'][orientation - 2]} as its Orientation asks`,
    );
  return orientation;
};

const readPredictor = async (file: TiffFile, directory: TiffDirectory, compression: number, type: StoredType) => {
  const predictor = await readNumber(file, directory, TAG.Predictor, 1);
  if (predictor === 1) return predictor;
  // libtiff ignores a predictor here, others apply it: either may be right, so neither is taken.
  if (compression === 1 || compression === 7 || compression === 32773)
    throw tiffFault(file, 'it states a predictor without LZW or deflate, which readers take differently', SAVE_GREY);
  if (predictor === 3 && !type.startsWith('f'))
    throw tiffFault(file, 'it states the predictor for floats (3) over integer samples', 'export the file again');
  if (predictor !== 2 && predictor !== 3) throw tiffFault(file, `its predictor ${predictor} is not known`, SAVE_GREY);
  return predictor;
};

const readSize = async (file: TiffFile, directory: TiffDirectory): Promise<{ width: number; height: number }> => {
  const width = await readNumber(file, directory, TAG.ImageWidth, 0);
  const height = await readNumber(file, directory, TAG.ImageLength, 0);
  for (const n of [width, height])
    if (!(Number.isInteger(n) && n >= 1 && n <= 0x7fffffff))
      throw tiffFault(file, `a picture of ${width} × ${height} pixels cannot be read`, 'export the file again');
  return { width, height };
};

/**
 * Reads and checks a page's directory.
 * @param display whether the picture is only looked at: colours may be stored as luminance and differences then
 * @throws LinewashError 'format' for every kind of picture that would not be read rightly, with the reason.
 */
export const readImage = async (file: TiffFile, directory: TiffDirectory, display = false): Promise<TiffImage> => {
  const warnings: string[] = [];
  const size = await readSize(file, directory);
  const samplesPerPixel = await readNumber(file, directory, TAG.SamplesPerPixel, 1);
  if (!(samplesPerPixel >= 1 && samplesPerPixel <= MOST_SAMPLES))
    throw tiffFault(file, `${samplesPerPixel} samples a pixel are not read`, SAVE_GREY);
  const photometric = await readPhotometric(file, directory, display, warnings);
  const type = await readType(file, directory, warnings);
  if (photometric === 0 && !type.startsWith('u'))
    throw tiffFault(file, 'it says that zero is white, which has a meaning for unsigned samples only', SAVE_GREY);
  if (photometric === 0) warnings.push('zero is white in this file; its values were inverted');
  if ((await readNumber(file, directory, TAG.FillOrder, 1)) !== 1)
    throw tiffFault(file, 'its bytes are stored with reversed bits (FillOrder 2)', SAVE_GREY);
  const compression = await readNumber(file, directory, TAG.Compression, 1);
  const extras = directory.get(TAG.ExtraSamples);
  return {
    ...size,
    type,
    samplesPerPixel,
    photometric,
    compression,
    planar: samplesPerPixel > 1 && (await readNumber(file, directory, TAG.PlanarConfiguration, 1)) === 2,
    predictor: await readPredictor(file, directory, compression, type),
    orientation: await readOrientation(file, directory, warnings),
    extraSamples: extras === undefined ? [] : [...(await readNumbers(file, extras, MOST_SAMPLES))],
    noData: await readNoData(file, directory, type, warnings),
    warnings,
  };
};

/** Bytes from one pixel to the next within a strip or tile. */
export const pixelBytes = (image: TiffImage): number =>
  STORED_BYTES[image.type] * (image.planar ? 1 : image.samplesPerPixel);

/**
 * Which sample of each pixel is read: the one named (0-based), else the only one, else the grey before one extra sample.
 * @throws LinewashError 'format' where the picture has several and none is named.
 */
export const chooseSample = (
  file: TiffFile,
  image: TiffImage,
  plane: number | undefined,
  warnings: string[],
): number => {
  const count = image.samplesPerPixel;
  const range = count === 1 ? 'it has one, #1' : `planes are #1 to #${count}`;
  if (plane !== undefined) {
    if (Number.isInteger(plane) && plane >= 0 && plane < count) return plane;
    throw tiffFault(file, `there is no plane #${plane + 1}`, range);
  }
  if (count === 1) return 0;
  if (image.photometric <= 1 && count === 2) {
    const alpha = image.extraSamples[0] === 1 || image.extraSamples[0] === 2;
    warnings.push(`its second sample${alpha ? ' (alpha)' : ''} was left aside; the grey sample was read`);
    return 0;
  }
  throw tiffFault(
    file,
    `it holds ${count} planes${image.photometric === 2 ? ' (a colour picture)' : ''}, a channel has one`,
    `name one behind the file's name, as in file.tif#2; ${range}`,
  );
};
