import type { PictureFormat } from '../formats/pictures.ts';
import type { Channel } from '../measure/measure.ts';
import type { PictureInfo } from '../plane/picture.ts';
import type { PlaneSource } from '../plane/plane.ts';
import type { StripOptions } from '../plane/strips.ts';
import type { Settled } from '../recipe/settle/settled.ts';
import type { Legend } from '../render/legend-form.ts';
import { bandRows, renderPicture } from '../render/picture.ts';
import { type PicturePlan, planPicture } from '../render/picture-plan.ts';
import type { FileSink } from './files/file-sink.ts';
import { flushMeanwhile } from './files/flush.ts';
import { type Hashes, type InputHashes, UNKNOWN_HASH } from './files/input-hashes.ts';
import { writeWhole } from './files/write-whole.ts';
import { type BandTarget, firstTurn } from './threads/band-target.ts';
import type { Pool } from './threads/pool.ts';

/** A picture to be written to a file. */
export interface PictureJob {
  readonly settled: Settled;
  /** Sources of the settled channels, prepared. */
  readonly channels: readonly Channel[];
  /** Red, green and blue of the stars to be laid over, where the settled numbers hold stars. */
  readonly stars?: readonly PlaneSource[] | undefined;
  readonly legend?: Legend | undefined;
  readonly output: string;
  readonly hashing: InputHashes;
  readonly force: boolean;
  readonly format: PictureFormat;
  readonly info: Omit<PictureInfo, 'note'>;
  /** The note, given what tells the hash of a path; its length does not depend on the hashes. */
  readonly note: (hashOf: (path: string) => string) => string;
}

/**
 * Computes a picture and writes it, band by band on all threads; inputs are hashed meanwhile. Pictures in memory, which no
 * other thread can open, are computed on this one: small copies.
 * @throws LinewashError; nothing is left behind then.
 */
export const writePicture = async (job: PictureJob, pool: Pool, options: StripOptions): Promise<void> => {
  const plan = planPicture({ ...job, form: { sample: job.info.sample, bands: job.info.bands } });
  await writeWhole(job.output, job.force, async (sink) => {
    if (plan === undefined) await writeRows(job, sink, options);
    else await writeBands(job, plan, sink, pool, options);
    job.hashing.verify();
  });
};

/** The head is written last, when the hashes in its note are known: its length does not depend on them. */
const writeBands = async (job: PictureJob, plan: PicturePlan, sink: FileSink, pool: Pool, options: StripOptions) => {
  const infoWith = (hashes: Hashes): PictureInfo => ({
    ...job.info,
    note: job.note((path) => hashes[path] ?? UNKNOWN_HASH),
  });
  const frame = job.format.layout
    ? placedFrame(job.format.layout, infoWith)
    : await orderedFrame(job.format.encoder, infoWith);
  const sources = [...job.channels.map(({ source }) => source), ...(job.stars ?? [])];
  const usual = bandRows(plan.width, sources);
  const rows = frame.rows * Math.max(1, Math.ceil(usual / frame.rows));
  const target = { path: sink.temporary, name: job.output, place: frame.place };
  // Where each thread would have to decode a whole file there is nothing to share but the work that follows.
  const canShare =
    job.format.layout === undefined || sources.every(({ rowsTogether = 1 }) => rowsTogether < Number.POSITIVE_INFINITY);
  const flushed = flushMeanwhile(sink.temporary);
  const hashes = await pool
    .do({ hashes: [], bands: { plan, rows, target } }, canShare ? plan.width * plan.height : 0, options)
    .then(() => job.hashing.finish({ signal: options.signal }))
    .finally(flushed);
  for (const { at, bytes } of await frame.around(hashes)) if (bytes.length > 0) await sink.writeAt(at, bytes);
};

/** What stands around the bands of a picture, and where these go. */
interface Frame {
  readonly place: BandTarget['place'];
  /** Bands begin at rows that can be divided by this. */
  readonly rows: number;
  /** What comes before and after them, once they are written. */
  around(hashes: Hashes): Promise<readonly { readonly at: number; readonly bytes: Uint8Array }[]>;
}

const placedFrame = (
  layout: NonNullable<PictureFormat['layout']>,
  infoWith: (hashes: Hashes) => PictureInfo,
): Frame => {
  const { pixelOffset, planes } = layout(infoWith({}));
  return {
    place: { kind: 'placed', pixelOffset, planes },
    rows: 1,
    async around(hashes) {
      const { head, tail, pixelBytes } = layout(infoWith(hashes));
      return [sameLength({ at: 0, bytes: head }, pixelOffset), { at: pixelOffset + pixelBytes, bytes: tail }];
    },
  };
};

const orderedFrame = async (
  encoderFor: NonNullable<PictureFormat['encoder']>,
  infoWith: (hashes: Hashes) => PictureInfo,
): Promise<Frame> => {
  const info = infoWith({});
  const { head, rows } = await encoderFor(info);
  const turn = firstTurn(head.length);
  return {
    place: { kind: 'ordered', info, turn },
    rows,
    async around(hashes) {
      const encoder = await encoderFor(infoWith(hashes));
      const [end, sum] = turn.state;
      return [sameLength({ at: 0, bytes: encoder.head }, head.length), { at: end!, bytes: encoder.tail(sum!) }];
    },
  };
};

const sameLength = <T extends { readonly bytes: Uint8Array }>(head: T, length: number): T => {
  if (head.bytes.length !== length) throw new RangeError('the head changed its length');
  return head;
};

const writeRows = async (job: PictureJob, sink: FileSink, options: StripOptions) => {
  const { settled, channels, stars, info, legend } = job;
  const hashes = await job.hashing.finish({ signal: options.signal });
  const writer = await job.format.writer(sink, { ...info, note: job.note((path) => hashes[path]!) });
  await renderPicture(channels, settled, info, writer, options, stars, legend);
};
