import { BINS, type LowerCounts, type UpperCounts } from '../plane/counting.ts';
import { BYTES_PER_SAMPLE } from '../plane/plane.ts';
import { isScaled, SAMPLE_CODE, type SampleForm } from '../plane/sample-form.ts';
import { isWide } from '../plane/strips.ts';
import { KERNEL_BASE64 } from './kernel.wasm.ts';

/** Counts values by the bits of their float32; see `UpperCounts`. */
export interface Counter {
  /** Stored samples go here before `count` or `refine`. */
  readonly samples: Uint8Array<ArrayBuffer>;
  /**
   * Takes a surface, given by its coefficients of u⁰…u⁴ along one row, off a row of `width` float32 samples that begins at
   * the given sample. They are little-endian then, which the form has to say.
   */
  flatten(start: number, width: number, line: readonly number[], bigEndian: boolean): void;
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
  /** Bins whose lower halves are wanted, at most 255. */
  readonly bins: readonly number[];
}

interface CountExports {
  readonly memory: WebAssembly.Memory;
  firstFree(): number;
  setTables(bins: number, slots: number, lowers: number): void;
  setSamples(...form: number[]): void;
  setLine(power: number, coefficient: number): void;
  flatten(row: number, width: number, bigEndian: number): void;
  count(from: number, samples: number): void;
  refine(from: number, samples: number): void;
  missingCount(): number;
  zeroCount(): number;
}

let compiled: WebAssembly.Module | undefined | null = null;

const countModule = (): WebAssembly.Module | undefined => {
  if (compiled !== null) return compiled;
  try {
    compiled = new WebAssembly.Module(Uint8Array.from(atob(KERNEL_BASE64), (c) => c.charCodeAt(0)));
  } catch {
    compiled = undefined;
  }
  return compiled;
};

/** Whether the module that counts runs here. */
export const canCountFast = (): boolean => countModule() !== undefined;

const BIN_BYTES = 24;
const LOWER_BYTES = BINS * 4;
const PAGE = 65536;

/** Instances that no counter uses now: their memory is large and slow to get. */
const idle: CountExports[] = [];

const takeKernel = (): CountExports => {
  const before = idle.pop();
  if (before !== undefined) return before;
  const module = countModule();
  if (module === undefined) throw new RangeError('no WebAssembly with SIMD');
  const abort = () => {
    throw new WebAssembly.RuntimeError('the counter left its memory');
  };
  return new WebAssembly.Instance(module, { env: { abort } }).exports as unknown as CountExports;
};

/** A counter in WebAssembly. @throws RangeError where there is none: ask `canCountFast`. */
export const createCounter = ({ form, pedestal, most, bins }: CounterNeeds): Counter => {
  const kernel = takeKernel();
  const slots = Math.ceil(kernel.firstFree() / 64) * 64;
  const binsAt = slots + BINS;
  const upperBytes = bins.length === 0 ? BINS * BIN_BYTES : 0;
  const lowersAt = binsAt + upperBytes;
  const samplesAt = lowersAt + bins.length * LOWER_BYTES;
  const sampleBytes = most * BYTES_PER_SAMPLE[form.type];
  const missing = samplesAt + sampleBytes + 64 - kernel.memory.buffer.byteLength;
  if (missing > 0) kernel.memory.grow(Math.ceil(missing / PAGE));
  const buffer = kernel.memory.buffer as ArrayBuffer;
  new Uint8Array(buffer, slots, samplesAt - slots).fill(0);
  const slotOf = new Uint8Array(buffer, slots, BINS);
  for (const [k, bin] of bins.entries()) slotOf[bin] = k + 1;
  kernel.setTables(binsAt, slots, lowersAt);
  const { type, bigEndian, zero, scale, blank, physical } = form;
  const flags = [bigEndian, isWide({ type: physical }), isScaled(form)].map(Number);
  kernel.setSamples(SAMPLE_CODE[type]!, ...flags, zero, scale, blank ?? Number.NaN, pedestal);
  return {
    samples: new Uint8Array(buffer, samplesAt, sampleBytes),
    flatten(start, width, line, bigEndian) {
      for (let power = 0; power < 5; power++) kernel.setLine(power, line[power] ?? 0);
      kernel.flatten(samplesAt + 4 * start, width, Number(bigEndian));
    },
    count: (n) => kernel.count(samplesAt, n),
    refine: (n) => kernel.refine(samplesAt, n),
    upper: () => ({
      bins: readBins(new Uint32Array(buffer, binsAt, BINS * 6)),
      missing: kernel.missingCount() >>> 0,
      zeros: kernel.zeroCount() >>> 0,
    }),
    lower: () => bins.map((_, k) => new Uint32Array(buffer, lowersAt + k * LOWER_BYTES, BINS).slice()),
    release: () => void idle.push(kernel),
  };
};

/** Pairs of 32 bits to numbers: exact up to 2^53, beyond which only sums of squares come. Most bins are empty. */
const readBins = (words: Uint32Array): Float64Array<ArrayBuffer> => {
  const bins = new Float64Array(words.length / 2);
  for (let bin = 0; bin < BINS; bin++) {
    if (words[6 * bin] === 0 && words[6 * bin + 1] === 0) continue;
    for (let i = 3 * bin; i < 3 * bin + 3; i++) bins[i] = words[2 * i]! + words[2 * i + 1]! * 2 ** 32;
  }
  return bins;
};
