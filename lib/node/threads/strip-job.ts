import { closeSync, writeSync } from 'node:fs';
import { takePlane } from '../../formats/fits/planes-out.ts';
import { outputError } from '../../plane/errors.ts';
import { eachMarked, type Mask } from '../../plane/mask.ts';
import { type OutputRows, type OutputSample, outputRows } from '../../plane/picture.ts';
import type { Settled } from '../../recipe/settle/settled.ts';
import type { KernelForm } from '../../render/kernel.ts';
import { createEngine } from '../../render/wasm/engine.ts';
import { planKernel } from '../../render/wasm/plan.ts';
import { openToRead, openToWrite } from '../files/open-sync.ts';
import { reasonOf } from '../files/reason.ts';
import { type RawFileRows, readStrip } from './raw-rows.ts';

/** A picture to be computed strip by strip, in any order, by any number of threads. Plain data. */
export interface StripJob {
  readonly settled: Settled;
  readonly form: KernelForm;
  readonly width: number;
  readonly height: number;
  /** Rows of a strip; the last may have fewer. */
  readonly rows: number;
  readonly inputs: readonly RawFileRows[];
  /** Where interleaved pixels go: a file that exists, and the byte of the first pixel. */
  readonly output: string;
  /** The picture as the user named it. */
  readonly name: string;
  readonly pixelOffset: number;
  /** How pixels lie in the file, as in `PictureLayout`. */
  readonly planes: boolean;
}

export const stripCount = ({ height, rows }: Pick<StripJob, 'height' | 'rows'>): number => Math.ceil(height / rows);

/** One thread's share in a strip job: files open, a kernel with its own memory. Reads and writes block the thread. */
export interface StripRunner {
  run(strip: number): void;
  close(): void;
}

/**
 * @throws RangeError where the settled numbers need the reference kernel: callers check before.
 * `run` throws LinewashError 'format' where a master ends early, 'output' where the picture cannot be written.
 */
export const createStripRunner = (job: StripJob): StripRunner => {
  const { width, height, form } = job;
  const plan = planKernel(job.settled, form.sample);
  const size = { width, rows: Math.min(job.rows, height) };
  const forms = job.inputs.map((input) => input.form);
  const engine = plan && createEngine(plan, form, forms, size);
  if (engine === undefined) throw new RangeError('no fast kernel for these numbers');
  const output = openToWrite(job.output, job.name);
  const files = job.inputs.map(({ path, file }) => openToRead(path, file));
  const rowPixelBytes = engine.output.length / size.rows;
  const plane = outputRows(form.sample, job.planes ? size.rows * width : 0);
  return {
    run(strip) {
      const y = strip * job.rows;
      const rows = Math.min(job.rows, height - y);
      for (const [c, input] of job.inputs.entries()) {
        const flatten = engine.flatten.bind(undefined, c);
        readStrip(files[c]!, input, [y, rows], engine.inputs[c]!, flatten);
      }
      engine.run(rows);
      const pixels = engine.output.subarray(0, rows * rowPixelBytes);
      for (const { hidden } of job.inputs) if (hidden) clearHidden(hidden, y, rows, pixels, rowPixelBytes / width);
      if (job.planes) writePlanes(output, samplesOf(pixels, form.sample), plane.subarray(0, rows * width), y, job);
      else writeFully(output, pixels, job.pixelOffset + y * rowPixelBytes, job.name);
    },
    close() {
      for (const file of [output, ...files]) closeSync(file);
    },
  };
};

/** Rows from y on to their places in planes whose bottom row comes first; `room` holds one plane of them. */
const writePlanes = (file: number, pixels: OutputRows, room: OutputRows, y: number, job: StripJob): void => {
  const { width, height, form, pixelOffset, name } = job;
  const layout = { width, planes: form.bands, sample: form.sample };
  const rows = room.length / width;
  for (let plane = 0; plane < form.bands; plane++) {
    const bytes = takePlane(pixels, plane, layout, rows, room);
    const row = plane * height + height - y - rows;
    writeFully(file, bytes, pixelOffset + (row * bytes.length) / rows, name);
  }
};

const samplesOf = ({ buffer, byteOffset, length }: Uint8Array, sample: OutputSample): OutputRows =>
  sample === 'u8'
    ? new Uint8Array(buffer, byteOffset, length)
    : sample === 'u16'
      ? new Uint16Array(buffer, byteOffset, length / 2)
      : new Float32Array(buffer, byteOffset, length / 4);

const writeFully = (file: number, bytes: Uint8Array, offset: number, name: string): void => {
  try {
    for (let done = 0; done < bytes.length; ) done += writeSync(file, bytes, done, bytes.length - done, offset + done);
  } catch (cause) {
    const advice = 'check the folder, its permissions and the free space';
    throw outputError(name, `cannot be written: ${reasonOf(cause)}`, advice);
  }
};

/** Black, and transparent where there is alpha, for marked pixels; neighbours are cleared together. */
const clearHidden = (mask: Mask, y: number, rows: number, pixels: Uint8Array, pixelBytes: number): void => {
  let start = 0;
  let end = 0;
  eachMarked(mask, y, rows, (index) => {
    if (index !== end) {
      pixels.fill(0, start * pixelBytes, end * pixelBytes);
      start = index;
    }
    end = index + 1;
  });
  pixels.fill(0, start * pixelBytes, end * pixelBytes);
};
