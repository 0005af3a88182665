import { openPlane } from '../../formats/open.ts';
import type { FilePicture } from '../../plane/origin.ts';
import { openPlan, type PicturePlan } from '../../render/picture-plan.ts';
import type { FileSource } from '../files/file-source.ts';
import { syncSource } from '../files/sync-source.ts';
import { type BandTarget, openTarget } from './band-target.ts';
import { openStored, type StoredBytes } from './stored-reader.ts';

/** A picture to be computed band by band, in any order, by any number of threads. Plain data. */
export interface BandJob {
  readonly plan: PicturePlan;
  /** Rows of a band; the last may have fewer. */
  readonly rows: number;
  readonly target: BandTarget;
}

/** One thread's share in a picture: files open, a kernel with its own memory. */
export const createBandJobRunner = async ({ plan, rows: most, target }: BandJob, goesOn: () => boolean) => {
  const { width, height, form } = plan;
  const files = openedFiles();
  const opened: { close(): unknown }[] = [files];
  const close = () => {
    for (const one of opened.splice(0)) void one.close();
  };
  try {
    const output = openTarget(target, { width, height, form }, goesOn);
    opened.push(output);
    const runner = await openPlan(plan, Math.min(most + output.above, height), files);
    opened.push(runner);
    return {
      async run(band: number): Promise<void> {
        const y = band * most;
        const rows = Math.min(most, height - y);
        const above = y === 0 ? 0 : output.above;
        const pixels = await runner.run(y - above, rows + above);
        const put = output.put(pixels, band, { y, rows, above });
        if (put) await put;
      },
      close,
    };
  } catch (cause) {
    close();
    throw cause;
  }
};

/** Files, each opened when first read, for rows as they are stored and for pictures to be decoded. */
const openedFiles = () => {
  const sources = new Map<string, FileSource>();
  const stored = new Map<string, StoredBytes>();
  const kept = <T>(files: Map<string, T>, { at }: FilePicture, open: (path: string) => T): T => {
    const path = at as string;
    const file = files.get(path) ?? open(path);
    files.set(path, file);
    return file;
  };
  return {
    open: (picture: FilePicture) =>
      openPlane(
        kept(sources, picture, (path) => syncSource(path, picture.file)),
        picture.selector,
      ),
    read: (picture: FilePicture, start: number, into: Uint8Array) =>
      kept(stored, picture, () => openStored(picture)).read(start, into),
    close(): void {
      for (const file of [...sources.values(), ...stored.values()]) void file.close();
    },
  };
};
