import type { PictureFormat } from '../formats/pictures.ts';
import type { Channel } from '../measure/measure.ts';
import type { ByteSink } from '../plane/bytes.ts';
import { throwIfCancelled } from '../plane/errors.ts';
import { NO_BANDS, type PictureEncoder, type PictureInfo } from '../plane/picture.ts';
import type { PlaneSource } from '../plane/plane.ts';
import { MOST_PIXELS, type StripOptions } from '../plane/strips.ts';
import { bandRows } from '../render/picture.ts';
import type { PicturePlan } from '../render/picture-plan.ts';
import type { MadeBand } from './workers/plan-bands.ts';
import type { Pool } from './workers/pool.ts';

/** Where a picture goes, and what it is made of. */
export interface PaintTarget {
  readonly sink: ByteSink;
  readonly format: PictureFormat;
  readonly info: PictureInfo;
  readonly file: string;
  readonly channels: readonly Channel[];
  readonly stars: readonly PlaneSource[] | undefined;
}

/** More bands than workers are asked for, so that none waits while one is written. */
const AHEAD = 2;
/** Strips of a band: a message between workers costs as much as some rows. */
const STRIPS = 4;
let paintings = 0;

/** Has all workers make a picture band by band, and writes the bands in their order. */
export const paintTogether = async (
  pool: Pool,
  plan: PicturePlan,
  { sink, format, info, file, channels, stars }: PaintTarget,
  { signal, progress }: StripOptions,
): Promise<void> => {
  const encoder = await format.encoder?.(info);
  const usual = bandRows(plan.width, [...channels.map(({ source }) => source), ...(stars ?? [])]);
  const many = Math.max(usual, Math.min(STRIPS * usual, Math.floor(MOST_PIXELS / plan.width)));
  const rows = encoder ? encoder.rows * Math.ceil(many / encoder.rows) : many;
  const most = Math.min(rows, plan.height);
  const shared = { id: `painting ${paintings++}`, plan, rows: most, ...(encoder && { encode: { file, info } }) };
  const painting = pool.paint(shared);
  const writer = await bandWriter(format, sink, info, encoder);
  try {
    for await (const [made, done] of inOrder(painting, plan.height, most, pool.size + AHEAD, signal)) {
      await writer.write(made);
      progress?.(done);
    }
    await writer.finish();
  } finally {
    painting.close();
  }
};

/** Bands in their order with the share of the picture that is done, a few asked for ahead. */
async function* inOrder(
  painting: ReturnType<Pool['paint']>,
  height: number,
  rows: number,
  ahead: number,
  signal: AbortSignal | undefined,
): AsyncGenerator<readonly [MadeBand, number]> {
  const asked: Promise<MadeBand>[] = [];
  let next = 0;
  try {
    for (let y = 0; y < height; y += rows) {
      for (; asked.length < ahead && next < height; next += rows)
        asked.push(painting.make({ y: next, rows: Math.min(rows, height - next) }, { signal }));
      const made = await asked.shift()!;
      throwIfCancelled(signal);
      yield [made, Math.min(1, (y + rows) / height)];
    }
  } finally {
    // None may be at work when the files are let go.
    await Promise.allSettled(asked);
  }
}

/** Writes bands in their order. */
const bandWriter = async (
  format: PictureFormat,
  sink: ByteSink,
  info: PictureInfo,
  encoder: PictureEncoder | undefined,
) => {
  if (encoder === undefined) {
    const writer = await format.writer(sink, info);
    return {
      async write(made: MadeBand) {
        if ('pixels' in made) await writer.writeRows(made.pixels);
      },
      finish: () => writer.finish(),
    };
  }
  let at = 0;
  let sum = NO_BANDS;
  const append = async (bytes: Uint8Array) => {
    await sink.writeAt(at, bytes);
    at += bytes.length;
  };
  await append(encoder.head);
  return {
    async write(made: MadeBand) {
      if (!('encoded' in made)) return;
      for (const bytes of made.encoded.bytes) await append(bytes);
      sum = encoder.join(sum, made.encoded);
    },
    finish: () => append(encoder.tail(sum)),
  };
};
