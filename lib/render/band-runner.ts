import { eachMarked, type Mask } from '../plane/mask.ts';
import { type OutputRows, type OutputSample, outputRows } from '../plane/picture.ts';
import type { PlaneSource } from '../plane/plane.ts';
import { samplesFor } from '../plane/strips.ts';
import type { Settled, SettledOwnStars } from '../recipe/settle/settled.ts';
import { type BandInput, inputForm, rowFiller } from './band-input.ts';
import type { BandRunner } from './bands.ts';
import type { KernelForm } from './kernel.ts';
import type { Legend } from './legend-form.ts';
import { starLayer } from './stars.ts';
import { createEngine } from './wasm/engine.ts';
import { hasFastKernel, returnInstance, takeInstance } from './wasm/module.ts';
import { type KernelPlan, planKernel } from './wasm/plan.ts';

/** What a picture is computed from, band by band. */
export interface BandWork {
  readonly settled: Settled;
  readonly form: KernelForm;
  readonly width: number;
  /** Most rows of a band. */
  readonly rows: number;
  /** One for each settled channel, in their order. */
  readonly inputs: readonly BandInput[];
  /**
   * What the layer of stars is computed from, of the size of the picture: red, green and blue of stars to be laid over where the
   * settled numbers hold `stars`; the channels without stars, and the mask, where they hold `ownStars`.
   */
  readonly stars?: readonly PlaneSource[] | undefined;
  /** A strip below the picture, whose rows follow those of the inputs. */
  readonly legend?: Legend | undefined;
}

/** The one way from rows of masters to rows of a picture: for pages, sheets and files, on every thread. */
export const createBandRunner = async (work: BandWork): Promise<BandRunner> => {
  const picture = await pictureRunner(work);
  if (work.legend === undefined) return picture;
  // Loaded for the pictures that have one.
  const { withLegend } = await import('./legend.ts');
  return withLegend(picture, work.legend, work.width, work.form);
};

const pictureRunner = async (work: BandWork): Promise<BandRunner> => {
  const { settled, form, stars } = work;
  if (settled.ownStars && stars) return neutralRunner(work, settled.ownStars, stars);
  if (settled.stars === undefined || stars === undefined) return mixRunner(work, form);
  // Stars are laid over the mix in float; the sum is rounded once.
  const mix = await mixRunner(work, { sample: 'f32', bands: 4 });
  const layer = starLayer(settled, settled.stars, stars, form);
  return {
    async run(y, rows) {
      return layer(await mix.run(y, rows), y, rows);
    },
    close: () => mix.close(),
  };
};

/** The mix, and then its stars. */
const neutralRunner = async (
  work: BandWork,
  ownStars: SettledOwnStars,
  stars: readonly PlaneSource[],
): Promise<BandRunner> => {
  const mix = await mixRunner(work, work.form);
  const lines = sourcesOf(work.inputs);
  const sources = { lines, starless: stars.slice(0, -1), mask: stars.at(-1)! };
  // Loaded for the mixes that have some.
  const { neutralLayer } = await import('./neutral-stars.ts');
  const layer = await neutralLayer(work.settled, ownStars, sources, work.form);
  return {
    async run(y, rows) {
      const pixels = await mix.run(y, rows);
      await layer.apply(pixels, y, rows);
      return pixels;
    },
    close() {
      layer.close();
      mix.close();
    },
  };
};

/** Inputs that are sources, all of them. */
const sourcesOf = (inputs: readonly BandInput[]): PlaneSource[] =>
  inputs.map((input) => {
    if ('source' in input) return input.source;
    throw new RangeError('stored rows are read by the fast kernel alone');
  });

/** Whether bands of these numbers are computed by the fast kernel. */
export const runsFast = (settled: Settled, form: KernelForm): boolean => fastPlan(settled, form) !== undefined;

const fastPlan = (settled: Settled, form: KernelForm): KernelPlan | undefined =>
  hasFastKernel() ? planKernel(settled, form.sample) : undefined;

const mixRunner = async (work: BandWork, form: KernelForm): Promise<BandRunner> => {
  const plan = fastPlan(work.settled, form);
  return plan ? fastRunner(work, form, plan) : referenceRunner(work, form);
};

/** Rows go to the module's own memory, and are computed there. */
const fastRunner = (work: BandWork, form: KernelForm, plan: KernelPlan): BandRunner => {
  const { settled, width, rows: most, inputs } = work;
  const instance = takeInstance(settled.space);
  const engine = createEngine(plan, form, inputs.map(inputForm), { width, rows: most }, instance)!;
  const fills = inputs.map((input, c) => rowFiller(input, engine.inputs[c]!, (...row) => engine.flatten(c, ...row)));
  const hidden = inputs.flatMap((input) => ('stored' in input && input.stored.hidden) || []);
  const pixelBytes = engine.output.length / (most * width);
  return {
    async run(y, rows) {
      for (const fill of fills) {
        const filled = fill(y, rows);
        if (filled) await filled;
      }
      engine.run(rows);
      const pixels = engine.output.subarray(0, rows * width * pixelBytes);
      for (const mask of hidden) clearHidden(mask, y, rows, pixels, pixelBytes);
      return samplesOf(pixels, form.sample);
    },
    close: () => returnInstance(settled.space, instance),
  };
};

/** The reference kernel, which is loaded only where it is needed; sources alone. */
const referenceRunner = async (work: BandWork, form: KernelForm): Promise<BandRunner> => {
  const { settled, width, rows: most } = work;
  const kernel = (await import('./js-kernel.ts')).jsKernel(settled, form);
  const sources = sourcesOf(work.inputs);
  const inputs = sources.map((source) => samplesFor(source, most * width));
  const out = outputRows(form.sample, most * width * form.bands);
  return {
    async run(y, rows) {
      for (const [c, source] of sources.entries()) await source.readRows(y, rows, inputs[c]!);
      kernel(inputs, rows * width, out);
      return out.subarray(0, rows * width * form.bands);
    },
    close() {},
  };
};

const samplesOf = ({ buffer, byteOffset, length }: Uint8Array, sample: OutputSample): OutputRows =>
  sample === 'u8'
    ? new Uint8Array(buffer, byteOffset, length)
    : sample === 'u16'
      ? new Uint16Array(buffer, byteOffset, length / 2)
      : new Float32Array(buffer, byteOffset, length / 4);

/** Black, and transparent where there is alpha, for marked pixels; neighbours are cleared together. */
const clearHidden = (mask: Mask, y: number, rows: number, pixels: Uint8Array, pixelBytes: number): void => {
  let start = 0;
  let end = 0;
  eachMarked(mask, y, rows, (index) => {
    if (index !== end) {
      pixels.fill(0, start * pixelBytes, end * pixelBytes);
      start = index;
    }
    end = index + 1;
  });
  pixels.fill(0, start * pixelBytes, end * pixelBytes);
};
