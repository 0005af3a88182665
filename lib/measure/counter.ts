import { BINS, type LowerCounts, type UpperCounts } from '../plane/counting.ts';
import { BYTES_PER_SAMPLE } from '../plane/plane.ts';
import { isScaled, SAMPLE_CODE, type SampleForm } from '../plane/sample-form.ts';
import { isWide } from '../plane/strips.ts';
import { type CountExports, giveKernel, takeKernel } from './count-kernel.ts';
import { binCounts, byteTables } from './count-tables.ts';

/** Counts values by the bits of their float32; see `UpperCounts`. */
export interface Counter {
  /** Stored samples go here before `count` or `refine`. */
  readonly samples: Uint8Array<ArrayBuffer>;
  /**
   * Takes a surface, given by its coefficients of u⁰…u⁴ along one row, off a row of `width` float32 samples that begins at
   * the given sample. They are little-endian then, which the form has to say.
   */
  flatten(start: number, width: number, line: readonly number[], bigEndian: boolean): void;
  /** Decodes the first `n` samples; `count` and `refine` then look at these numbers, which may be changed before. */
  decode(n: number): Float32Array<ArrayBuffer>;
  /** Takes a number off the first `n` decoded samples. */
  takeOff(n: number, number: number): void;
  /** Adds the first `n` samples to the bins. */
  count(n: number): void;
  /** Counts the lower halves of the first `n` samples in the bins given at the start. */
  refine(n: number): void;
  upper(): UpperCounts;
  lower(): LowerCounts;
  /** Gives the memory to the next counter; this one and its views must not be used any more. */
  release(): void;
}

export interface CounterNeeds {
  readonly form: SampleForm;
  readonly pedestal: number;
  /** Samples that one call takes at most. */
  readonly most: number;
  /** Bins whose lower halves to count, at most 255; none for a first pass. */
  readonly bins: readonly number[];
  /** Whether samples are decoded before they are counted; not for types wider than float32. */
  readonly decodes?: boolean;
}

const PAGE = 65536;
/** Bytes of the sums of a table's blocks. */
const BLOCK_SUMS = 3 * 256 * 4;

/** A counter in WebAssembly. @throws RangeError where there is none: ask `canCountFast`. */
export const createCounter = (needs: CounterNeeds): Counter => {
  const { form, most, bins, decodes = false } = needs;
  const kernel = takeKernel();
  const first = bins.length === 0;
  const bytes = BYTES_PER_SAMPLE[form.type];
  const at = placed(kernel, [
    ['slots', BINS],
    ['bins', first ? binCounts.bytes : 0],
    ['tables', bins.length * BINS],
    // At worst every value is the one that makes its byte overflow.
    ['carries', bins.length > 0 ? Math.max(most * 4, BLOCK_SUMS) : 0],
    ['samples', most * bytes],
    ['values', decodes ? most * 4 : 0],
  ]);
  const buffer = kernel.memory.buffer as ArrayBuffer;
  new Uint8Array(buffer, at.slots, at.carries - at.slots).fill(0);
  const slotOf = new Uint8Array(buffer, at.slots, BINS);
  for (const [k, bin] of bins.entries()) slotOf[bin] = k + 1;
  kernel.setTables(at.bins, at.slots, at.tables, at.carries);
  setForm(kernel, needs);
  const counts = first ? binCounts.over(new Uint32Array(buffer, at.bins, binCounts.bytes / 4)) : undefined;
  const tables = byteTables(kernel, new Uint8Array(buffer, at.tables, bins.length * BINS), at.carries);
  const from = decodes ? at.values : at.samples;
  return {
    samples: new Uint8Array(buffer, at.samples, most * bytes),
    flatten(start, width, line, bigEndian) {
      for (let power = 0; power < 5; power++) kernel.setLine(power, line[power] ?? 0);
      kernel.flatten(at.samples + 4 * start, width, Number(bigEndian));
    },
    decode(n) {
      kernel.decode(at.samples, at.values, n);
      return new Float32Array(buffer, at.values, n);
    },
    takeOff: (n, number) => kernel.takeOff(at.values, n, number),
    count(n) {
      counts!.makeRoom(n);
      kernel.count(from, n, Number(decodes));
    },
    refine(n) {
      kernel.refine(from, n, Number(decodes));
      tables.carry();
    },
    upper: () => ({
      bins: counts!.take(),
      missing: kernel.missingCount() >>> 0,
      zeros: kernel.zeroCount() >>> 0,
    }),
    lower: () => tables.take(),
    release: () => giveKernel(kernel),
  };
};

/** Places parts one after the other in a kernel's memory, each at a multiple of 64 bytes. */
const placed = <K extends string>(
  kernel: CountExports,
  parts: readonly (readonly [K, number])[],
): Record<K, number> => {
  const at = {} as Record<K, number>;
  let end = kernel.firstFree();
  for (const [part, bytes] of parts) {
    at[part] = Math.ceil(end / 64) * 64;
    end = at[part] + bytes;
  }
  // Four or eight samples are looked at together.
  const missing = end + 64 - kernel.memory.buffer.byteLength;
  if (missing > 0) kernel.memory.grow(Math.ceil(missing / PAGE));
  return at;
};

const setForm = (kernel: CountExports, { form, pedestal }: CounterNeeds): void => {
  const { type, bigEndian, zero, scale, blank, physical } = form;
  const flags = [bigEndian, isWide({ type: physical }), isScaled(form)].map(Number);
  kernel.setSamples(SAMPLE_CODE[type]!, ...flags, zero, scale, blank ?? Number.NaN, pedestal);
};
