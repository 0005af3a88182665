import type { Channel } from '../measure/measure.ts';
import { throwIfCancelled } from '../plane/errors.ts';
import { type OutputRows, outputRows, type PictureInfo, type PictureWriter } from '../plane/picture.ts';
import { type StripOptions, samplesFor, stripRows } from '../plane/strips.ts';
import type { Settled } from '../recipe/settle/settled.ts';
import type { KernelForm } from './kernel.ts';
import { kernelFor } from './kernel-for.ts';

/** The settled channels' sources, in their order. @throws RangeError where one is missing: a defect of the caller. */
export const sourcesFor = (settled: Settled, channels: readonly Channel[]) =>
  settled.channels.map(({ name }) => {
    const found = channels.find((c) => c.name === name);
    if (found === undefined) throw new RangeError(`channel ${name} has no source`);
    return found.source;
  });

/** Applies settled numbers to all rows of the masters and hands the picture to a writer, strip by strip. */
export const renderPicture = async (
  channels: readonly Channel[],
  settled: Settled,
  info: Pick<PictureInfo, 'width' | 'height'> & KernelForm,
  writer: PictureWriter,
  options: StripOptions = {},
): Promise<void> => {
  const sources = sourcesFor(settled, channels);
  const { width, height } = info;
  const kernel = await kernelFor(settled, info);
  const most = Math.min(height, stripRows(width));
  const inputs = sources.map((source) => samplesFor(source, most * width));
  const out = outputRows(info.sample, most * width * info.bands);
  for (let y = 0; y < height; y += most) {
    throwIfCancelled(options.signal);
    const rows = Math.min(most, height - y);
    for (const [c, source] of sources.entries()) await source.readRows(y, rows, inputs[c]!);
    kernel(inputs, rows * width, out);
    await writer.writeRows(out.subarray(0, rows * width * info.bands));
    options.progress?.((y + rows) / height);
  }
  await writer.finish();
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
