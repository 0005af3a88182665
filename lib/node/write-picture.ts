import type { PictureFormat } from '../formats/pictures.ts';
import type { Channel } from '../measure/measure.ts';
import type { PictureInfo } from '../plane/picture.ts';
import type { PlaneSource } from '../plane/plane.ts';
import { type StripOptions, stripRows } from '../plane/strips.ts';
import type { Settled } from '../recipe/settled.ts';
import { renderPicture } from '../render/picture.ts';
import { renderWithStars } from '../render/stars.ts';
import { hasFastKernel } from '../render/wasm/module.ts';
import { planKernel } from '../render/wasm/plan.ts';
import type { Crew } from './crew.ts';
import { fileIdentity } from './file-identity.ts';
import { type FileSink, fileSink } from './file-sink.ts';
import { flushMeanwhile } from './flush.ts';
import { knownHash, rememberHash } from './hash-file.ts';
import type { Master } from './masters.ts';
import { type RawFileRows, rawFileRows } from './raw-rows.ts';

/** A picture to be written to a file. */
export interface PictureJob {
  readonly settled: Settled;
  /** Sources of the settled channels, prepared. */
  readonly channels: readonly Channel[];
  readonly masters: readonly Master[];
  /** Red, green and blue of the stars to be laid over, where the settled numbers hold stars. */
  readonly stars?: readonly PlaneSource[] | undefined;
  readonly output: string;
  /** Called when all is written, before the picture appears: throws where it must not. */
  readonly verify?: () => void;
  readonly force: boolean;
  readonly format: PictureFormat;
  readonly info: Omit<PictureInfo, 'note'>;
  /** The note, given the SHA-256 of each file by path; hashes are 64 characters, so its length does not depend on them. */
  readonly note: (hashes: Readonly<Record<string, string>>) => string;
}

/** Stands where a hash will be. */
const UNKNOWN = '0'.repeat(64);

/**
 * Computes a picture and writes it; inputs are hashed meanwhile. Where all rows lie uncompressed in their files and the
 * format allows it, several threads read, compute and write strips of their own; else one thread goes through the rows.
 * @throws LinewashError; nothing is left behind then.
 */
export const writePicture = async (job: PictureJob, crew: Crew, options: StripOptions): Promise<void> => {
  const paths = [...new Set(job.masters.flatMap(({ files }) => files.map(({ bytes }) => bytes.path)))];
  const hashes: Record<string, string> = {};
  // Taken before anything is hashed: a hash must not be remembered for what a file became meanwhile.
  const identities = paths.map(fileIdentity);
  for (const [i, path] of paths.entries()) hashes[path] = knownHash(identities[i]!) ?? UNKNOWN;
  const inputs = job.stars === undefined ? stripInputs(job) : undefined;
  const sink = await fileSink(job.output, job.force);
  try {
    if (inputs === undefined) await writeRows(job, sink, hashes, crew, options);
    else await writeStrips({ ...job, inputs }, sink, hashes, crew, options);
    job.verify?.();
  } catch (cause) {
    await sink.abort();
    throw cause;
  }
  for (const [i, path] of paths.entries()) rememberHash(identities[i]!, hashes[path]!);
  await sink.close();
};

type Hashes = Record<string, string>;

const unknownPaths = (hashes: Hashes): string[] => Object.keys(hashes).filter((path) => hashes[path] === UNKNOWN);

/** The head is written last, when the hashes in its note are known. */
const writeStrips = async (
  job: PictureJob & { readonly inputs: readonly RawFileRows[] },
  sink: FileSink,
  hashes: Hashes,
  crew: Crew,
  options: StripOptions,
) => {
  const layoutFor = () => job.format.layout!({ ...job.info, note: job.note(hashes) });
  const { pixelOffset } = layoutFor();
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
  };
  const flushed = flushMeanwhile(sink.temporary);
  const work = crew.do({ hashes: unknownPaths(hashes), strips }, width * height, options);
  Object.assign(hashes, (await work.finally(flushed)).hashes);
  const { head, tail, pixelBytes } = layoutFor();
  if (head.length !== pixelOffset) throw new RangeError('the head changed its length');
  await sink.writeAt(0, head);
  if (tail.length > 0) await sink.writeAt(pixelOffset + pixelBytes, tail);
};

const writeRows = async (job: PictureJob, sink: FileSink, hashes: Hashes, crew: Crew, options: StripOptions) => {
  const { settled, channels, stars, info } = job;
  const { signal } = options;
  const work = crew.do({ hashes: unknownPaths(hashes) }, info.width * info.height, { signal });
  Object.assign(hashes, (await work).hashes);
  const writer = await job.format.writer(sink, { ...info, note: job.note(hashes) });
  if (stars === undefined) await renderPicture(channels, settled, info, writer, options);
  else await renderWithStars(channels, settled, stars, info, writer, options);
};

/** Where the rows of all channels lie in their files; undefined where strips cannot be made from that. */
const stripInputs = ({ settled, channels, format }: PictureJob): RawFileRows[] | undefined => {
  if (format.layout === undefined || !hasFastKernel() || planKernel(settled) === undefined) return undefined;
  const inputs = settled.channels.map(({ name }) => {
    const source = channels.find((channel) => channel.name === name)?.source;
    return source && rawFileRows(source);
  });
  return inputs.every((input) => input !== undefined) ? inputs : undefined;
};
