import { SPACES } from '../../colour/spaces.ts';
import { BYTES_PER_SAMPLE } from '../../plane/plane.ts';
import type { SampleForm } from '../../plane/sample-form.ts';
import type { KernelForm } from '../kernel.ts';
import { loadPlan } from './load-plan.ts';
import { instantiateKernel, type KernelExports } from './module.ts';
import type { KernelPlan } from './plan.ts';

/** One channel's samples as they come: their form, and which row of a strip is stored first. */
export interface EngineInput extends SampleForm {
  readonly bottomUp: boolean;
}

export interface EngineSize {
  readonly width: number;
  /** Most rows of a strip. */
  readonly rows: number;
}

/**
 * The fast kernel with its own memory. Write the stored bytes of a strip to `inputs`, call `run`, read `output`.
 * The views stay valid as long as the engine does.
 */
export interface Engine {
  readonly inputs: readonly Uint8Array<ArrayBuffer>[];
  /** Interleaved pixels, top row first, samples little-endian. */
  readonly output: Uint8Array<ArrayBuffer>;
  /**
   * Takes a surface, given by its coefficients of u⁰…u⁴ along one row, off the float32 samples of a row of a channel; rows
   * count as stored. They are little-endian then, which the form of the input has to say.
   */
  flatten(c: number, row: number, line: readonly number[], bigEndian: boolean): void;
  /** Computes the first `rows` rows of the strip, or `width` pixels of its only row. */
  run(rows: number, width?: number): void;
}

const SAMPLE_BYTES = { u8: 1, u16: 2, f32: 4 } as const;
const PAGE = 65536;
/** Vectors run over the ends of buffers by less than this. */
const SLACK = 64;

/**
 * A kernel for settled numbers and strips of this size; undefined where no fast kernel runs.
 * @param kernel an instance for the space of the numbers; whatever engine used it before must not be used any more
 */
export const createEngine = (
  plan: KernelPlan,
  form: KernelForm,
  inputs: readonly EngineInput[],
  size: EngineSize,
  kernel = instantiateKernel(SPACES[plan.settled.space].display),
): Engine | undefined => {
  if (kernel === undefined) return undefined;
  const take = allocator(kernel);
  const place = (table: Float32Array | Uint8Array) => {
    const address = take(table.byteLength);
    new Uint8Array(kernel.memory.buffer, address).set(new Uint8Array(table.buffer, table.byteOffset, table.byteLength));
    return address;
  };
  loadPlan(kernel, plan, form, inputs, place);
  const rowBytes = inputs.map(({ type }) => size.width * BYTES_PER_SAMPLE[type]);
  const addresses = rowBytes.map((bytes) => take(bytes * size.rows));
  const outBytes = size.rows * size.width * form.bands * SAMPLE_BYTES[form.sample];
  const out = take(outBytes);
  const buffer = kernel.memory.buffer as ArrayBuffer;
  return {
    inputs: addresses.map((address, c) => new Uint8Array(buffer, address, rowBytes[c]! * size.rows)),
    output: new Uint8Array(buffer, out, outBytes),
    flatten(c, row, line, bigEndian) {
      for (let power = 0; power < 5; power++) kernel.setLine(power, line[power] ?? 0);
      kernel.flatten(addresses[c]! + row * rowBytes[c]!, size.width, Number(bigEndian));
    },
    run(rows, width = size.width) {
      for (const [c, { bottomUp }] of inputs.entries()) {
        const step = rowBytes[c]!;
        kernel.setInput(c, addresses[c]! + (bottomUp ? (rows - 1) * step : 0), bottomUp ? -step : step);
      }
      kernel.run(out, rows, width);
    },
  };
};

/** Hands out memory from the end of the module's own; all of it before the first view is taken. */
const allocator = (kernel: KernelExports) => {
  let next = kernel.firstFree();
  return (bytes: number): number => {
    const address = Math.ceil(next / SLACK) * SLACK;
    next = address + bytes + SLACK;
    const missing = next - kernel.memory.buffer.byteLength;
    if (missing > 0) kernel.memory.grow(Math.ceil(missing / PAGE));
    return address;
  };
};
