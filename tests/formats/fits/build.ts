import { type ByteSource, memorySource } from '../../../lib/plane/bytes.ts';
import { LinewashError } from '../../../lib/plane/errors.ts';

/** Header cards as they stand in a file, padded to a whole block, END added. */
export const header = (...cards: string[]): Uint8Array => {
  const text = [...cards, 'END'].map((card) => card.padEnd(80)).join('');
  return Uint8Array.from(text.padEnd(Math.ceil(text.length / 2880) * 2880), (letter) => letter.charCodeAt(0));
};

/** `KEYWORD = value` in fixed format. */
export const card = (keyword: string, value: string | number): string =>
  `${keyword.padEnd(8)}= ${typeof value === 'number' ? String(value).padStart(20) : value}`;

export const image = (bitpix: number, axes: readonly number[], ...more: string[]): Uint8Array =>
  header(
    card('SIMPLE', '                   T'),
    card('BITPIX', bitpix),
    card('NAXIS', axes.length),
    ...axes.map((length, i) => card(`NAXIS${i + 1}`, length)),
    ...more,
  );

export const extension = (kind: string, bitpix: number, axes: readonly number[], ...more: string[]): Uint8Array =>
  header(
    card('XTENSION', `'${kind.padEnd(8)}'`),
    card('BITPIX', bitpix),
    card('NAXIS', axes.length),
    ...axes.map((length, i) => card(`NAXIS${i + 1}`, length)),
    card('PCOUNT', 0),
    card('GCOUNT', 1),
    ...more,
  );

export const join = (...parts: Uint8Array[]): Uint8Array => new Uint8Array(Buffer.concat(parts));

/** `length` bytes of data padded to whole blocks. */
export const data = (bytes: ArrayLike<number>): Uint8Array => {
  const padded = new Uint8Array(Math.ceil(bytes.length / 2880) * 2880);
  padded.set(bytes);
  return padded;
};

export const source = (...parts: Uint8Array[]): ByteSource => memorySource('test.fits', join(...parts));

/** The LinewashError that a promise rejects with. */
export const failure = async (promise: Promise<unknown>): Promise<LinewashError> => {
  const error = await promise.then(
    () => new Error('nothing was thrown'),
    (reason: unknown) => reason,
  );
  if (error instanceof LinewashError) return error;
  throw error;
};
