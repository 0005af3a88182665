import { createCounter } from '../../measure/counter.ts';
import type { LowerCounts, UpperCounts } from '../../plane/counting.ts';
import { eachMarked, type Mask } from '../../plane/mask.ts';
import { BYTES_PER_SAMPLE } from '../../plane/plane.ts';
import { isWide, stripRows } from '../../plane/strips.ts';
import { type BandInput, inputForm, rowFiller } from '../../render/band-input.ts';
import { openInput } from '../../render/open-input.ts';
import { type StoredRows, storedRows } from '../../render/stored-rows.ts';
import { openedFiles } from './opened-files.ts';
import { eachPart, type RowJob, type RowRunner, unwantedOf } from './row-job.ts';

/** Counting the values of one master. Plain data. */
export interface CountJob extends RowJob {
  readonly pedestal: number;
  /** Bins whose lower halves to count; empty for a first pass. */
  readonly bins: readonly number[];
}

export interface CountResult {
  readonly upper?: UpperCounts;
  readonly lower?: LowerCounts;
}

/** One thread's share in counting. */
export const createCountRunner = async (job: CountJob, goesOn: () => boolean): Promise<RowRunner<CountResult>> => {
  const files = openedFiles();
  try {
    const input = await openInput(job.origin, countsStored(job), files);
    const counter = counterOf(job, input);
    return {
      run: (piece, rest) => eachPart(job, piece, counter.most, counter.look, goesOn, rest),
      result: counter.result,
      close() {
        counter.release();
        files.close();
      },
    };
  } catch (cause) {
    files.close();
    throw cause;
  }
};

/** Wide integers are not decoded before they are counted, and have no number to stand for pixels that do not count. */
const countsStored = ({ origin, mask, type }: CountJob): boolean => {
  const stored = storedRows(origin);
  return stored !== undefined && !(isWide({ type }) && !isFloat(stored.form) && (mask ?? stored.hidden) !== undefined);
};

const isFloat = ({ type }: Pick<StoredRows['form'], 'type'>): boolean => type === 'f32' || type === 'f64';

/** A piece of so many pixels is read at once: rows that are decoded together are then decoded in the file's own order. */
const MOST_PIXELS = 1 << 21;

/** What counts the rows of an input, so many at a time. */
const counterOf = ({ width, height, pieceRows, mask, pedestal, bins }: CountJob, input: BandInput) => {
  const form = inputForm(input);
  const unwanted = unwantedOf(mask, input);
  const decodes = unwanted !== undefined && !isFloat(form);
  const most = Math.min(height, pieceRows * width <= MOST_PIXELS ? pieceRows : stripRows(width));
  const counter = createCounter({ form, pedestal, most: width * most, bins, decodes });
  const fill = rowFiller(input, counter.samples, (row, ...line) => counter.flatten(row * width, width, ...line));
  const count = (y: number, rows: number): void => {
    const decoded = decodes ? counter.decode(rows * width) : undefined;
    if (unwanted !== undefined)
      hide(unwanted, y, rows, decoded ? bytesOf(decoded) : counter.samples, decodes ? { ...form, type: 'f32' } : form);
    if (bins.length === 0) counter.count(rows * width);
    else counter.refine(rows * width);
  };
  return {
    most,
    look(y: number, rows: number): void | Promise<void> {
      const filled = fill(y, rows);
      return filled ? filled.then(() => count(y, rows)) : count(y, rows);
    },
    result: (): CountResult => (bins.length === 0 ? { upper: counter.upper() } : { lower: counter.lower() }),
    release: counter.release,
  };
};

const bytesOf = ({ buffer, byteOffset, byteLength }: Float32Array): Uint8Array =>
  new Uint8Array(buffer, byteOffset, byteLength);

/** Makes marked samples NaN: all bits set are one in either byte order and both widths of floats. */
const hide = (
  mask: Mask,
  y: number,
  rows: number,
  samples: Uint8Array,
  { type, bottomUp }: Pick<StoredRows['form'], 'type' | 'bottomUp'>,
): void => {
  const words = new Uint32Array(samples.buffer, samples.byteOffset, samples.byteLength >> 2);
  const each = BYTES_PER_SAMPLE[type] / 4;
  eachMarked(mask, y, rows, (index) => {
    const row = Math.floor(index / mask.width);
    const stored = bottomUp ? index + (rows - 1 - 2 * row) * mask.width : index;
    for (let k = 0; k < each; k++) words[stored * each + k] = 0xffffffff;
  });
};
