import type { Channel } from '../measure/measure.ts';
import { throwIfCancelled } from '../plane/errors.ts';
import { type OutputRows, outputRows, type PictureInfo, type PictureWriter } from '../plane/picture.ts';
import type { PlaneSource } from '../plane/plane.ts';
import { MOST_PIXELS, type StripOptions, stripRows, tallRows } from '../plane/strips.ts';
import type { Settled } from '../recipe/settle/settled.ts';
import { createBandRunner } from './band-runner.ts';
import type { KernelForm } from './kernel.ts';
import type { Legend } from './legend-form.ts';
import { reachOf, takesStarsOut } from './origin-reach.ts';

/** The settled channels' sources, in their order. @throws RangeError where one is missing: a defect of the caller. */
export const sourcesFor = (settled: Settled, channels: readonly Channel[]) =>
  settled.channels.map(({ name }) => {
    const found = channels.find((c) => c.name === name);
    if (found === undefined) throw new RangeError(`channel ${name} has no source`);
    return found.source;
  });

/**
 * Applies settled numbers to all rows of the masters and hands the picture to a writer, strip by strip.
 * @param stars red, green and blue of stars to be laid over, of the size of the picture, where the settled numbers hold stars
 * @param legend a strip below it; its rows are among those of `info`
 */
export const renderPicture = async (
  channels: readonly Channel[],
  settled: Settled,
  info: Pick<PictureInfo, 'width' | 'height'> & KernelForm,
  writer: PictureWriter,
  { signal, progress }: StripOptions = {},
  stars?: readonly PlaneSource[],
  legend?: Legend,
): Promise<void> => {
  const { width, height, sample, bands } = info;
  const sources = sourcesFor(settled, channels);
  const rows = Math.min(height, bandRows(width, [...sources, ...(stars ?? [])]));
  const inputs = sources.map((source) => ({ source }));
  const runner = await createBandRunner({ settled, form: { sample, bands }, width, rows, inputs, stars, legend });
  try {
    for (let y = 0; y < height; y += rows) {
      throwIfCancelled(signal);
      const some = Math.min(rows, height - y);
      await writer.writeRows(await runner.run(y, some));
      progress?.((y + some) / height);
    }
  } finally {
    runner.close();
  }
  await writer.finish();
};

/** Rows that depend on rows above and below, or are decoded together: what a cut into bands has to look at. */
type Rows = Pick<PlaneSource, 'width' | 'height' | 'origin' | 'rowsTogether'>;

/**
 * Rows of a source that one thread had better read one after the other, so that little is read or decoded twice: all of
 * them where each thread would have to decode the file from its beginning.
 */
export const pieceRows = ({ width, height, origin, rowsTogether = 1 }: Rows): number => {
  const usual = Math.max(stripRows(width), tallRows(width, reachOf(origin)));
  return rowsTogether < height ? rowsTogether * Math.ceil(usual / rowsTogether) : Math.max(usual, height);
};

/** Most pixels of a band that is made higher than a strip where stars are taken out. */
const STAR_PIXELS = 3 << 18;

/** Rows of a band for sources that may depend on rows above and below, or are decoded by several rows. */
export const bandRows = (width: number, sources: readonly PlaneSource[]): number => {
  const reach = Math.max(0, ...sources.map(({ origin }) => reachOf(origin)));
  const most = sources.some(({ origin }) => takesStarsOut(origin)) ? STAR_PIXELS : MOST_PIXELS;
  const usual = Math.max(stripRows(width), tallRows(width, reach, most));
  const together = Math.max(1, ...sources.map(({ rowsTogether = 1 }) => rowsTogether));
  const whole = together * Math.ceil(usual / together);
  return whole * width <= MOST_PIXELS ? whole : usual;
};

/** A picture in memory: pixels interleaved, top first. */
export interface Picture {
  readonly width: number;
  readonly height: number;
  readonly bands: 3 | 4;
  readonly data: OutputRows;
}

/** A writer that keeps the picture in memory. */
export const pictureInMemory = (info: Pick<PictureInfo, 'width' | 'height'> & KernelForm) => {
  const data = outputRows(info.sample, info.width * info.height * info.bands);
  let at = 0;
  const writer: PictureWriter = {
    async writeRows(rows) {
      data.set(rows, at);
      at += rows.length;
    },
    async finish() {},
  };
  const picture: Picture = { width: info.width, height: info.height, bands: info.bands, data };
  return { writer, picture };
};
