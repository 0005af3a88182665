import { formatOf, type PictureFormat } from '../formats/pictures.ts';
import { type ByteSink, fillSink } from '../plane/bytes.ts';
import { outputError, throwIfCancelled } from '../plane/errors.ts';
import type { OutputSample, PictureInfo, PictureWriter } from '../plane/picture.ts';
import { neededChannels } from '../recipe/settle/channels.ts';
import type { NoteInput } from '../recipe/share/note.ts';
import type { WrittenRecipe } from '../recipe/written/schema.ts';
import { renderPicture } from '../render/picture.ts';
import { planPicture } from '../render/picture-plan.ts';
import { checkLegend, withStrip } from '../work/legend.ts';
import { mixLines } from '../work/mix.ts';
import { pictureNote } from '../work/note.ts';
import { pictureFacts } from '../work/picture-facts.ts';
import type { Bench } from './bench.ts';
import { blobSink } from './bytes/blob-sink.ts';
import { handleSink, type WritableHandle } from './bytes/handle-sink.ts';
import { partsOf } from './combined-master.ts';
import type { Lines } from './measure-lines.ts';
import { paintTogether } from './paint-together.ts';
import { plainOf } from './plain.ts';
import type { StarPicture } from './stars.ts';
import { breathe, type CallContext } from './wire/rpc.ts';
import type { Pool } from './workers/pool.ts';

/** A picture to be written at full size. */
export interface ExportWish {
  readonly lines: Lines;
  readonly recipe: WrittenRecipe;
  /** The file's name; its ending decides the format. */
  readonly file: string;
  readonly sample: OutputSample;
  /** Whether the open picture of the stars is laid over. */
  readonly stars?: boolean | undefined;
  /** Whether the picture is cut to what all its lines cover. */
  readonly crop?: boolean | undefined;
  /** Whether a strip below says what the colours mean. */
  readonly legend?: boolean | undefined;
  /** Where to write; a Blob is returned where there is none. */
  readonly handle?: WritableHandle | undefined;
}

/** Smaller pictures are made sooner than helpers start. */
const WORTH_HELPERS = 1 << 20;

/** Larger files are not read a second time for their checksum: it would take longer than the picture. */
const LARGEST_HASHED = 512 * 1024 * 1024;

/**
 * Writes the full-size picture exactly as the command line does, with the recipe and the settled numbers in it.
 * @param pool who makes bands of large pictures, if there is anybody
 * @throws LinewashError; nothing is left behind then.
 */
export const exportPicture = async (
  bench: Bench,
  { lines, recipe, file, sample, crop, legend, handle }: ExportWish,
  { signal, progress }: CallContext,
  over?: StarPicture,
  pool?: Pool,
): Promise<Blob | undefined> => {
  const format = formatOf(file);
  if (!format?.samples.includes(sample))
    throw outputError(file, 'this format cannot be written', 'choose TIFF, PNG, JPEG or FITS');
  if (legend) checkLegend(format, file);
  const plain = await plainOf(recipe);
  const { settled, channels, stars, unsmoothed } = await mixLines(
    bench.lines(lines),
    plain,
    { stars: over, crop },
    { signal },
  );
  const { width, height } = channels[0]!.source;
  const files = neededChannels(plain).flatMap((name) =>
    partsOf(lines[name]!).map((id) => ({ name, file: bench.get(id).opened.file, blob: bench.get(id).blob })),
  );
  const starFiles = (over?.files ?? []).map((starFile) => ({
    name: 'stars',
    file: starFile.name,
    blob: starFile.blob,
  }));
  throwIfCancelled(signal);
  const inputs = await Promise.all([...files, ...starFiles].map(describe));
  const form = { sample, bands: 3 as const };
  const above = { recipe, settled, facts: pictureFacts(unsmoothed, { crop: settled.crop, width, height }) };
  const { facts, ...strip } = await withStrip(legend, { ...above, form, width, height });
  const note = pictureNote(recipe, settled, inputs, { sample, usual: format.samples[0]!, crop, legend }, facts);
  const info: PictureInfo = { width, height: strip.height, ...form, space: settled.space, note, facts };
  const memory = blobSink(format.mime);
  const sink = handle === undefined ? memory : await handleSink(handle);
  const picture = { settled, channels, stars, form, legend: strip.legend };
  const options = { signal, progress };
  const plan = pool && width * height >= WORTH_HELPERS ? planPicture(picture) : undefined;
  await fillSink(sink, async () => {
    if (plan && pool) await paintTogether(pool, plan, { sink, format, info, file, channels, stars }, options);
    else
      await renderPicture(channels, settled, info, await breathing(format, sink, info), options, stars, strip.legend);
  });
  return handle === undefined ? memory.blob() : undefined;
};

/** A writer that lets other calls in between. */
const breathing = async (format: PictureFormat, sink: ByteSink, info: PictureInfo): Promise<PictureWriter> => {
  const writer = await format.writer(sink, info);
  return {
    async writeRows(rows) {
      await writer.writeRows(rows);
      await breathe();
    },
    finish: () => writer.finish(),
  };
};

/** A file that goes into the picture, and for what. */
interface Ingredient {
  readonly name: string;
  readonly file: string;
  readonly blob: Blob;
}

const describe = async ({ name, file, blob }: Ingredient): Promise<NoteInput> => {
  const input = { channel: name, file };
  // Pages that do not come over a secure connection have no digest.
  if (globalThis.crypto?.subtle === undefined || blob.size > LARGEST_HASHED) return input;
  const digest = new Uint8Array(await crypto.subtle.digest('SHA-256', await blob.arrayBuffer()));
  return { ...input, sha256: [...digest].map((byte) => byte.toString(16).padStart(2, '0')).join('') };
};
