import { type TiffDirectory, type TiffEntry, type TiffFile, tiffFault, uint64, viewOf } from './directory.ts';
import { FIELD, FIELD_BYTES } from './tags.ts';

type ReadValue = (view: DataView, at: number, littleEndian: boolean) => number;

const unsigned: ReadValue = (view, at) => view.getUint8(at);

/** One value of each numeric field type. */
const READ: Readonly<Record<number, ReadValue>> = {
  [FIELD.byte]: unsigned,
  [FIELD.undefined]: unsigned,
  [FIELD.short]: (view, at, little) => view.getUint16(at, little),
  [FIELD.long]: (view, at, little) => view.getUint32(at, little),
  [FIELD.ifd]: (view, at, little) => view.getUint32(at, little),
  [FIELD.rational]: (view, at, little) => view.getUint32(at, little) / view.getUint32(at + 4, little),
  [FIELD.sbyte]: (view, at) => view.getInt8(at),
  [FIELD.sshort]: (view, at, little) => view.getInt16(at, little),
  [FIELD.slong]: (view, at, little) => view.getInt32(at, little),
  [FIELD.srational]: (view, at, little) => view.getInt32(at, little) / view.getInt32(at + 4, little),
  [FIELD.float]: (view, at, little) => view.getFloat32(at, little),
  [FIELD.double]: (view, at, little) => view.getFloat64(at, little),
  [FIELD.long8]: uint64,
  [FIELD.ifd8]: uint64,
  [FIELD.slong8]: (view, at, little) => Number(view.getBigInt64(at, little)),
};

/** Whether a field holds numbers (and not text, or a type this reader does not know). */
export const isNumeric = (entry: TiffEntry): boolean => READ[entry.type] !== undefined;

/** The first `most` values of a numeric field, or fewer where it has fewer; rationals as their quotient. */
export const readNumbers = async (file: TiffFile, entry: TiffEntry, most: number): Promise<Float64Array> => {
  const read = READ[entry.type];
  const what = `the value of tag ${entry.tag}`;
  if (read === undefined) throw tiffFault(file, `${what} has type ${entry.type}; expected a number`);
  const size = FIELD_BYTES[entry.type]!;
  const count = Math.min(entry.count, most);
  const view = await viewOf(file, entry.at, count * size, what);
  const values = new Float64Array(count);
  for (let i = 0; i < count; i++) values[i] = read(view, i * size, file.littleEndian);
  return values;
};

/** The first value of a numeric tag; `absent` where the directory does not have it or it is empty. */
export const readNumber = async <T>(
  file: TiffFile,
  directory: TiffDirectory,
  tag: number,
  absent: T,
): Promise<number | T> => {
  const entry = directory.get(tag);
  if (entry === undefined || entry.count === 0) return absent;
  return (await readNumbers(file, entry, 1))[0]!;
};

/** Text up to its first NUL, as UTF-8 where it is valid, else as Latin-1; at most `most` bytes of it. */
export const readText = async (file: TiffFile, entry: TiffEntry, most: number): Promise<string> => {
  const length = Math.min(entry.count, most);
  const view = await viewOf(file, entry.at, length, `the text of tag ${entry.tag}`);
  const bytes = new Uint8Array(view.buffer, view.byteOffset, length);
  const end = bytes.indexOf(0);
  const text = end < 0 ? bytes : bytes.subarray(0, end);
  try {
    return new TextDecoder('utf-8', { fatal: true, ignoreBOM: true }).decode(text);
  } catch {
    return new TextDecoder('latin1').decode(text);
  }
};
