import { formatOf } from '../formats/pictures.ts';
import { outputError } from '../plane/errors.ts';
import type { OutputSample, PictureInfo } from '../plane/picture.ts';
import { VERSION } from '../plane/version.ts';
import { type NoteInput, notePicture, noteText } from '../recipe/note.ts';
import { preparedChannels } from '../recipe/prepared.ts';
import { RECIPE_VERSION, type WrittenRecipe } from '../recipe/schema.ts';
import { neededChannels } from '../recipe/settle-channels.ts';
import { renderPicture } from '../render/picture.ts';
import { type Bench, zerosOf } from './bench.ts';
import { blobSink } from './blob-sink.ts';
import { partsOf } from './combined-master.ts';
import { handleSink, type WritableHandle } from './handle-sink.ts';
import type { Lines } from './measure-lines.ts';
import type { Master } from './open-master.ts';
import { plainOf } from './plain.ts';
import { breathe, type CallContext } from './rpc.ts';

/** A picture to be written at full size. */
export interface ExportWish {
  readonly lines: Lines;
  readonly recipe: WrittenRecipe;
  /** The file's name; its ending decides the format. */
  readonly file: string;
  readonly sample: OutputSample;
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
  { lines, recipe, file, sample, handle }: ExportWish,
  { signal, progress }: CallContext,
): Promise<Blob | undefined> => {
  const format = formatOf(file);
  if (!format?.samples.includes(sample))
    throw outputError(file, 'this format cannot be written', 'choose TIFF, PNG or FITS');
  const plain = await plainOf(recipe);
  const used = neededChannels(plain);
  const { settled } = await bench.settle(lines, plain, { signal });
  const channels = await bench.full(lines, used, zerosOf(plain), { signal });
  const { width, height } = channels[0]!.source;
  const files = used.flatMap((name) => partsOf(lines[name]!).map((id) => ({ name, master: bench.get(id) })));
  const inputs = await Promise.all(files.map(({ name, master }) => describe(name, master)));
  const form = notePicture({ sample, usual: format.samples[0]! });
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
    await renderPicture(preparedChannels(settled, channels), settled, info, breathing, { signal, progress });
    await sink.close();
  } catch (cause) {
    await sink.abort();
    throw cause;
  }
  return handle === undefined ? memory.blob() : undefined;
};

const describe = async (name: string, { blob, opened }: Pick<Master, 'blob' | 'opened'>): Promise<NoteInput> => {
  const input = { channel: name, file: opened.file };
  // Pages that do not come over a secure connection have no digest.
  if (globalThis.crypto?.subtle === undefined || blob.size > LARGEST_HASHED) return input;
  const digest = new Uint8Array(await crypto.subtle.digest('SHA-256', await blob.arrayBuffer()));
  return { ...input, sha256: [...digest].map((byte) => byte.toString(16).padStart(2, '0')).join('') };
};
