import { formatOf } from '../formats/pictures.ts';
import { outputError, throwIfCancelled } from '../plane/errors.ts';
import type { OutputSample, PictureInfo } from '../plane/picture.ts';
import { VERSION } from '../plane/version.ts';
import { neededChannels } from '../recipe/settle/channels.ts';
import { preparedChannels } from '../recipe/settle/prepared.ts';
import { type NoteInput, notePicture, noteText } from '../recipe/share/note.ts';
import { RECIPE_VERSION, type WrittenRecipe } from '../recipe/written/schema.ts';
import { compose } from '../render/compose.ts';
import { renderPicture } from '../render/picture.ts';
import { type Bench, zerosOf } from './bench.ts';
import { blobSink } from './bytes/blob-sink.ts';
import { handleSink, type WritableHandle } from './bytes/handle-sink.ts';
import { partsOf } from './combined-master.ts';
import type { Lines } from './measure-lines.ts';
import { plainOf } from './plain.ts';
import type { StarPicture } from './stars.ts';
import { breathe, type CallContext } from './wire/rpc.ts';

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
  /** Where to write; a Blob is returned where there is none. */
  readonly handle?: WritableHandle | undefined;
}

/** Larger files are not read a second time for their checksum: it would take longer than the picture. */
const LARGEST_HASHED = 512 * 1024 * 1024;

/**
 * Writes the full-size picture exactly as the command line does, with the recipe and the settled numbers in it.
 * @throws LinewashError; nothing is left behind then.
 */
export const exportPicture = async (
  bench: Bench,
  { lines, recipe, file, sample, crop, handle }: ExportWish,
  { signal, progress }: CallContext,
  over?: StarPicture,
): Promise<Blob | undefined> => {
  const format = formatOf(file);
  if (!format?.samples.includes(sample))
    throw outputError(file, 'this format cannot be written', 'choose TIFF, PNG or FITS');
  const plain = await plainOf(recipe);
  const used = neededChannels(plain);
  const mix = await bench.settle(lines, plain, { signal });
  const full = await bench.full(lines, used, zerosOf(plain), { signal });
  const prepared = { ...mix, channels: preparedChannels(mix.settled, full) };
  const { settled, channels, stars } = await compose(prepared, plain, { stars: over, crop, signal });
  const { width, height } = channels[0]!.source;
  const files = used.flatMap((name) =>
    partsOf(lines[name]!).map((id) => ({ name, file: bench.get(id).opened.file, blob: bench.get(id).blob })),
  );
  const starFiles = (over?.files ?? []).map((starFile) => ({
    name: 'stars',
    file: starFile.name,
    blob: starFile.blob,
  }));
  throwIfCancelled(signal);
  const inputs = await Promise.all([...files, ...starFiles].map(describe));
  const form = notePicture({ sample, usual: format.samples[0]!, crop });
  const note = noteText({ linewash: RECIPE_VERSION, recipe, settled, inputs, ...form, writer: VERSION });
  const info: PictureInfo = { width, height, bands: 3, sample, space: settled.space, note };
  const memory = blobSink(format.mime);
  const sink = handle === undefined ? memory : await handleSink(handle);
  try {
    const writer = await format.writer(sink, info);
    const breathing: typeof writer = {
      async writeRows(rows) {
        await writer.writeRows(rows);
        await breathe();
      },
      finish: () => writer.finish(),
    };
    const options = { signal, progress };
    await renderPicture(channels, settled, info, breathing, options, stars);
    await sink.close();
  } catch (cause) {
    await sink.abort();
    throw cause;
  }
  return handle === undefined ? memory.blob() : undefined;
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
