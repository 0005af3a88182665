import { openPlane } from '../../formats/open.ts';
import type { FilePicture, Origin } from '../../plane/origin.ts';
import { openOrigin } from '../../prepare/open-origin.ts';
import type { Settled } from '../../recipe/settle/settled.ts';
import { type BandInput, createBandRunner, runsFast } from '../../render/band-runner.ts';
import type { KernelForm } from '../../render/kernel.ts';
import { storedRows } from '../../render/stored-rows.ts';
import type { FileSource } from '../files/file-source.ts';
import { syncSource } from '../files/sync-source.ts';
import { type BandTarget, openTarget } from './band-target.ts';
import { openStored, type StoredBytes } from './stored-reader.ts';

/** The plan of a picture: all that any thread needs to compute any band of it. Plain data. */
export interface PicturePlan {
  readonly settled: Settled;
  readonly form: KernelForm;
  readonly width: number;
  readonly height: number;
  /** Where the rows of each settled channel come from, in their order. */
  readonly channels: readonly Origin[];
  /** Red, green and blue of stars to be laid over; absent for none. */
  readonly stars?: readonly Origin[] | undefined;
}

/** A picture to be computed band by band, in any order, by any number of threads. Plain data. */
export interface BandJob {
  readonly plan: PicturePlan;
  /** Rows of a band; the last may have fewer. */
  readonly rows: number;
  readonly target: BandTarget;
}

/** One thread's share in a picture: files open, a kernel with its own memory. */
export const createBandJobRunner = async ({ plan, rows: most, target }: BandJob, goesOn: () => boolean) => {
  const { settled, form, width, height } = plan;
  const open = opener();
  try {
    const fast = runsFast(settled, plan.stars ? { sample: 'f32', bands: 4 } : form);
    const inputs: BandInput[] = [];
    for (const origin of plan.channels) inputs.push(await open.input(origin, fast));
    const stars = plan.stars && (await open.sources(plan.stars));
    const output = openTarget(target, { width, height, form }, goesOn);
    open.closes(output);
    const room = most + output.above;
    const runner = await createBandRunner({ settled, form, width, rows: Math.min(room, height), inputs, stars });
    open.closes(runner);
    return {
      async run(band: number): Promise<void> {
        const y = band * most;
        const rows = Math.min(most, height - y);
        const above = y === 0 ? 0 : output.above;
        const pixels = await runner.run(y - above, rows + above);
        const put = output.put(pixels, band, { y, rows, above });
        if (put) await put;
      },
      close: () => open.closeAll(),
    };
  } catch (cause) {
    open.closeAll();
    throw cause;
  }
};

/** Opens origins, each file once. */
const opener = () => {
  const files = new Map<string, StoredBytes | FileSource>();
  const others: { close(): unknown }[] = [];
  const kept = <T extends StoredBytes | FileSource>(key: string, make: () => T): T => {
    const file = (files.get(key) as T | undefined) ?? make();
    files.set(key, file);
    return file;
  };
  const openPicture = (picture: FilePicture) => {
    const path = picture.at as string;
    return openPlane(
      kept(`source ${path}`, () => syncSource(path, picture.file)),
      picture.selector,
    );
  };
  return {
    async input(origin: Origin, fast: boolean): Promise<BandInput> {
      const stored = fast ? storedRows(origin) : undefined;
      if (stored === undefined) return { source: await openOrigin(origin, openPicture) };
      const bytes = kept(`stored ${stored.picture.at}`, () => openStored(stored.picture));
      return { stored, read: (start, into) => bytes.read(start, into) };
    },
    async sources(origins: readonly Origin[]) {
      const all = [];
      for (const origin of origins) all.push(await openOrigin(origin, openPicture));
      return all;
    },
    closes: (other: { close(): unknown }) => void others.push(other),
    closeAll(): void {
      for (const file of [...others.splice(0), ...files.values()]) void file.close();
      files.clear();
    },
  };
};
