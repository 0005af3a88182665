import type { PictureFormat } from '../formats/pictures.ts';
import type { Channel } from '../measure/measure.ts';
import type { PictureInfo } from '../plane/picture.ts';
import type { PlaneSource } from '../plane/plane.ts';
import { type StripOptions, stripRows } from '../plane/strips.ts';
import type { Settled } from '../recipe/settle/settled.ts';
import { renderPicture } from '../render/picture.ts';
import { renderWithStars } from '../render/stars.ts';
import { hasFastKernel } from '../render/wasm/module.ts';
import { planKernel } from '../render/wasm/plan.ts';
import { type FileSink, fileSink } from './files/file-sink.ts';
import { flushMeanwhile } from './files/flush.ts';
import { type Hashes, type InputHashes, UNKNOWN_HASH } from './files/input-hashes.ts';
import type { Pool } from './threads/pool.ts';
import { type RawFileRows, rawFileRows } from './threads/raw-rows.ts';

/** A picture to be written to a file. */
export interface PictureJob {
  readonly settled: Settled;
  /** Sources of the settled channels, prepared. */
  readonly channels: readonly Channel[];
  /** Red, green and blue of the stars to be laid over, where the settled numbers hold stars. */
  readonly stars?: readonly PlaneSource[] | undefined;
  readonly output: string;
  readonly hashing: InputHashes;
  readonly force: boolean;
  readonly format: PictureFormat;
  readonly info: Omit<PictureInfo, 'note'>;
  /** The note, given what tells the hash of a path; its length does not depend on the hashes. */
  readonly note: (hashOf: (path: string) => string) => string;
}

/**
 * Computes a picture and writes it; inputs are hashed meanwhile. Where all rows lie uncompressed in their files and the
 * format allows it, several threads read, compute and write strips of their own; else one thread goes through the rows.
 * @throws LinewashError; nothing is left behind then.
 */
export const writePicture = async (job: PictureJob, pool: Pool, options: StripOptions): Promise<void> => {
  const inputs = job.stars === undefined ? stripInputs(job) : undefined;
  const sink = await fileSink(job.output, job.force);
  try {
    if (inputs === undefined) await writeRows(job, sink, options);
    else await writeStrips({ ...job, inputs }, sink, pool, options);
    job.hashing.verify();
  } catch (cause) {
    await sink.abort();
    throw cause;
  }
  await sink.close();
};

/** The head is written last, when the hashes in its note are known. */
const writeStrips = async (
  job: PictureJob & { readonly inputs: readonly RawFileRows[] },
  sink: FileSink,
  pool: Pool,
  options: StripOptions,
) => {
  const layoutFor = (hashes: Hashes) =>
    job.format.layout!({ ...job.info, note: job.note((path) => hashes[path] ?? UNKNOWN_HASH) });
  const { pixelOffset, planes } = layoutFor({});
  const { width, height, sample, bands } = job.info;
  const strips = {
    settled: job.settled,
    form: { sample, bands },
    width,
    height,
    rows: stripRows(width),
    inputs: job.inputs,
    output: sink.temporary,
    name: job.output,
    pixelOffset,
    planes,
  };
  const flushed = flushMeanwhile(sink.temporary);
  const hashes = await pool
    .do({ hashes: [], strips }, width * height, options)
    .then(() => job.hashing.finish({ signal: options.signal }))
    .finally(flushed);
  const { head, tail, pixelBytes } = layoutFor(hashes);
  if (head.length !== pixelOffset) throw new RangeError('the head changed its length');
  await sink.writeAt(0, head);
  if (tail.length > 0) await sink.writeAt(pixelOffset + pixelBytes, tail);
};

const writeRows = async (job: PictureJob, sink: FileSink, options: StripOptions) => {
  const { settled, channels, stars, info } = job;
  const hashes = await job.hashing.finish({ signal: options.signal });
  const writer = await job.format.writer(sink, { ...info, note: job.note((path) => hashes[path]!) });
  if (stars === undefined) await renderPicture(channels, settled, info, writer, options);
  else await renderWithStars(channels, settled, stars, info, writer, options);
};

/** Where the rows of all channels lie in their files; undefined where strips cannot be made from that. */
const stripInputs = ({ settled, channels, format, info }: PictureJob): RawFileRows[] | undefined => {
  if (format.layout === undefined || !hasFastKernel() || planKernel(settled, info.sample) === undefined)
    return undefined;
  const inputs = settled.channels.map(({ name }) => {
    const source = channels.find((channel) => channel.name === name)?.source;
    return source && rawFileRows(source);
  });
  return inputs.every((input) => input !== undefined) ? inputs : undefined;
};
