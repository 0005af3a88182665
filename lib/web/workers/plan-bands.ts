import { formatOf } from '../../formats/pictures.ts';
import type { EncodedBand, OutputRows, PictureEncoder, PictureInfo } from '../../plane/picture.ts';
import { type Turn, turns } from '../../plane/turns.ts';
import type { BandRunner } from '../../render/bands.ts';
import { openPlan, type PicturePlan } from '../../render/picture-plan.ts';
import { blobFiles } from './blob-files.ts';

/** A picture that several workers compute. Plain data, sent to each of them once. */
export interface SharedPlan {
  readonly id: string;
  readonly plan: PicturePlan;
  /** Most rows of a band. */
  readonly rows: number;
  /** For formats that compress: where bands are to be encoded, and as what. */
  readonly encode?: { readonly file: string; readonly info: PictureInfo } | undefined;
}

/** Rows [y, y + rows) of a picture. */
export interface Band {
  readonly y: number;
  readonly rows: number;
}

/** A band as it goes to the file: encoded, or its pixels. */
export type MadeBand = { readonly encoded: EncodedBand } | { readonly pixels: OutputRows };

/** The plans that a worker works on. */
export const createPlans = () => {
  const plans = new Map<string, Promise<OpenedPlan>>();
  return {
    open(shared: SharedPlan): void {
      const opened = openShared(shared);
      opened.catch(() => {});
      plans.set(shared.id, opened);
    },
    /** @throws RangeError for a plan that was not opened: a defect of the caller. */
    async make(id: string, { y, rows }: Band): Promise<MadeBand> {
      const opened = plans.get(id);
      if (opened === undefined) throw new RangeError(`no plan ${id}`);
      const { runner, encoder, samples, turn } = await opened;
      // A runner makes one band at a time.
      return turn(async (): Promise<MadeBand> => {
        if (encoder === undefined) return { pixels: (await runner.run(y, rows)).slice() };
        const above = y === 0 ? 0 : encoder.above;
        const pixels = await runner.run(y - above, rows + above);
        const start = above * samples;
        return { encoded: encoder.encode(pixels.subarray(start), y, above ? pixels.subarray(0, start) : undefined) };
      });
    },
    close(id: string): void {
      plans.get(id)?.then(
        ({ runner }) => runner.close(),
        () => {},
      );
      plans.delete(id);
    },
  };
};

interface OpenedPlan {
  readonly runner: BandRunner;
  readonly encoder: PictureEncoder | undefined;
  /** Samples of a row. */
  readonly samples: number;
  readonly turn: Turn;
}

const openShared = async ({ plan, rows, encode }: SharedPlan): Promise<OpenedPlan> => {
  const encoder = encode && (await formatOf(encode.file)!.encoder!(encode.info));
  const runner = await openPlan(plan, rows + (encoder?.above ?? 0), blobFiles());
  return { runner, encoder, samples: plan.width * plan.form.bands, turn: turns() };
};

/** The buffers of a made band, to be handed over instead of copied. */
export const bandBuffers = (made: MadeBand): ArrayBuffer[] =>
  'pixels' in made
    ? [made.pixels.buffer as ArrayBuffer]
    : [...new Set(made.encoded.bytes.map(({ buffer }) => buffer as ArrayBuffer))];
