import type { PictureFormat } from '../formats/pictures.ts';
import type { Channel } from '../measure/measure.ts';
import type { OutputRows, PictureInfo } from '../plane/picture.ts';
import type { PlaneSource } from '../plane/plane.ts';
import { canDecode, rawForm } from '../plane/sample-form.ts';
import { stripRows } from '../plane/strips.ts';
import type { Settled } from '../recipe/settled.ts';
import { renderPicture } from '../render/picture.ts';
import { renderWithStars } from '../render/stars.ts';
import { hasFastKernel } from '../render/wasm/module.ts';
import { planKernel } from '../render/wasm/plan.ts';
import { type CrewOptions, doTogether } from './crew.ts';
import { type FileSink, fileSink } from './file-sink.ts';
import { knownHash, rememberHash } from './hash-file.ts';
import type { Master } from './masters.ts';
import type { StripInput } from './strip-job.ts';

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

/** Pictures with fewer pixels are finished before a second thread has started. */
const WORTH_THREADS = 1 << 20;

/** Stands where a hash will be. */
const UNKNOWN = '0'.repeat(64);

/**
 * Computes a picture and writes it; inputs are hashed meanwhile. Where all rows lie uncompressed in their files and the
 * format allows it, several threads read, compute and write strips of their own; else one thread goes through the rows.
 * @throws LinewashError; nothing is left behind then.
 */
export const writePicture = async (job: PictureJob, options: CrewOptions): Promise<void> => {
  const paths = [...new Set(job.masters.flatMap(({ files }) => files.map(({ bytes }) => bytes.path)))];
  const hashes: Record<string, string> = {};
  for (const path of paths) hashes[path] = knownHash(path) ?? UNKNOWN;
  const crew = { ...options, threads: job.info.width * job.info.height < WORTH_THREADS ? 1 : options.threads };
  const inputs = job.stars === undefined ? stripInputs(job) : undefined;
  const sink = await fileSink(job.output, job.force);
  try {
    if (inputs === undefined) await writeRows(job, sink, hashes, crew);
    else await writeStrips(job, inputs, sink, hashes, crew);
    job.verify?.();
  } catch (cause) {
    await sink.abort();
    throw cause;
  }
  await sink.close();
};

type Hashes = Record<string, string>;

const unknownPaths = (hashes: Hashes): string[] => Object.keys(hashes).filter((path) => hashes[path] === UNKNOWN);

const learn = (hashes: Hashes, found: Readonly<Hashes>): void => {
  for (const [path, hash] of Object.entries(found)) {
    hashes[path] = hash;
    rememberHash(path, hash);
  }
};

/** The head is written last, when the hashes in its note are known. */
const writeStrips = async (
  job: PictureJob,
  inputs: StripInput[],
  sink: FileSink,
  hashes: Hashes,
  crew: CrewOptions,
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
    inputs,
    output: sink.temporary,
    name: job.output,
    pixelOffset,
  };
  learn(hashes, await doTogether({ hashes: unknownPaths(hashes), strips }, crew));
  const { head, tail, pixelBytes } = layoutFor();
  if (head.length !== pixelOffset) throw new RangeError('the head changed its length');
  await sink.writeAt(0, head);
  if (tail.length > 0) await sink.writeAt(pixelOffset + pixelBytes, tail);
};

const writeRows = async (job: PictureJob, sink: FileSink, hashes: Hashes, crew: CrewOptions) => {
  const { settled, channels, stars, info } = job;
  const missing = unknownPaths(hashes);
  if (missing.length > 0)
    learn(hashes, await doTogether({ hashes: missing, strips: undefined }, { ...crew, progress: undefined }));
  const writer = await job.format.writer(sink, { ...info, note: job.note(hashes) });
  if (stars === undefined) await renderPicture(channels, settled, info, writer, crew);
  else await renderWithStars(channels, settled, stars, info, writer, crew);
};

/** Where the rows of all channels lie in their files; undefined where strips cannot be made from that. */
const stripInputs = ({ settled, channels, masters, format }: PictureJob): StripInput[] | undefined => {
  if (format.layout === undefined || !LITTLE_ENDIAN || !hasFastKernel() || planKernel(settled) === undefined)
    return undefined;
  const inputs = settled.channels.map(({ name }): StripInput | undefined => {
    const source = channels.find((channel) => channel.name === name)?.source;
    const master = masters.find((m) => m.source === source);
    const raw = source?.raw;
    if (master === undefined || raw === undefined || !canDecode(raw.type)) return undefined;
    const form = { ...rawForm(raw, master.source.type), bottomUp: raw.bottomUp };
    const { offset, rowBytes, hidden } = raw;
    return { path: master.bytes.path, file: master.source.file, offset, rowBytes, form, hidden };
  });
  return inputs.every((input) => input !== undefined) ? inputs : undefined;
};

/** The kernel's output is little-endian, as the machine is. */
const LITTLE_ENDIAN = new Uint8Array((Uint16Array.of(1) satisfies OutputRows).buffer)[0] === 1;
