import { clampUnit, quantise, SAMPLE_FULL } from '../colour/encode.ts';
import { SPACES } from '../colour/spaces.ts';
import type { OutputRows } from '../plane/picture.ts';
import type { PlaneSource, Samples } from '../plane/plane.ts';
import { samplesFor } from '../plane/strips.ts';
import type { Settled, SettledOwnStars } from '../recipe/settle/settled.ts';
import { type CompactMix, createCompactMix } from './compact-mix.ts';
import type { KernelForm } from './kernel.ts';
import { neutralize } from './neutral.ts';

/** Pixels of stars that are mixed at once. */
const MOST = 4096;
/** Rows that are looked at together. */
const ROWS = 16;

/** What the pixels of stars are computed from, each of the size of the picture. */
export interface NeutralSources {
  /** The settled channels, and the same without stars. */
  readonly lines: readonly PlaneSource[];
  readonly starless: readonly PlaneSource[];
  /** How much of each pixel belongs to stars: 0…1. */
  readonly mask: PlaneSource;
}

/** Changes the pixels of stars in finished rows of a picture; all others stay as they are. */
export interface NeutralLayer {
  apply(pixels: OutputRows, y: number, rows: number): Promise<void>;
  close(): void;
}

/** Makes stars neutral in linear light: see `neutralize`. Colours are rounded once. */
export const neutralLayer = async (
  settled: Settled,
  { neutral, tint }: SettledOwnStars,
  { lines, starless, mask }: NeutralSources,
  form: KernelForm,
): Promise<NeutralLayer> => {
  const kinds = (sources: readonly PlaneSource[]) => sources.map((source) => samplesFor(source, 0));
  const over = await createCompactMix(settled, kinds(lines), MOST);
  const under = await createCompactMix(settled, kinds(starless), MOST);
  const lay = painter(settled, { amount: neutral, tint }, form);
  const places = new Uint32Array(MOST);
  const { width } = mask;
  const shares = new Float32Array(ROWS * width);
  const [with_, without] = [rowsFor(lines, width), rowsFor(starless, width)];
  const someRows = async (pixels: OutputRows, y: number, rows: number): Promise<void> => {
    await mask.readRows(y, rows, shares);
    let count = 0;
    const flush = () => {
      gather(over, with_, places, count);
      gather(under, without, places, count);
      lay(pixels, places.subarray(0, count), shares, over.run(count), under.run(count));
      count = 0;
    };
    let read = false;
    for (let i = 0; i < rows * width; i++) {
      if (!(shares[i]! > 0)) continue;
      if (!read) {
        await readAll(lines, y, rows, with_);
        await readAll(starless, y, rows, without);
        read = true;
      }
      places[count++] = i;
      if (count === MOST) flush();
    }
    if (count > 0) flush();
  };
  return {
    async apply(pixels, y, rows) {
      const rowSamples = width * form.bands;
      for (let r = 0; r < rows; r += ROWS) {
        const some = Math.min(ROWS, rows - r);
        await someRows(pixels.subarray(r * rowSamples, (r + some) * rowSamples), y + r, some);
      }
    },
    close() {
      over.close();
      under.close();
    },
  };
};

const rowsFor = (sources: readonly PlaneSource[], width: number): Samples[] =>
  sources.map((source) => samplesFor(source, ROWS * width));

const readAll = async (sources: readonly PlaneSource[], y: number, rows: number, into: readonly Samples[]) => {
  for (const [c, source] of sources.entries()) await source.readRows(y, rows, into[c]!);
};

const gather = ({ inputs }: CompactMix, rows: readonly Samples[], places: Uint32Array, count: number): void => {
  for (const [c, input] of inputs.entries()) {
    const row = rows[c]!;
    for (let j = 0; j < count; j++) input[j] = row[places[j]!]!;
  }
};

type Lay = (
  pixels: OutputRows,
  places: Uint32Array,
  shares: Float32Array,
  over: Float32Array,
  under: Float32Array,
) => void;

const painter = (settled: Settled, how: Parameters<typeof neutralize>[3], { sample, bands }: KernelForm): Lay => {
  const space = SPACES[settled.space];
  const full = SAMPLE_FULL[sample];
  const [mix, below] = [new Float64Array(3), new Float64Array(3)];
  return (pixels, places, shares, over, under) => {
    for (let j = 0; j < places.length; j++) {
      const [i, at] = [places[j]!, 4 * j];
      // Undefined pixels stay as they are.
      if (over[at + 3] === 0 || under[at + 3] === 0) continue;
      for (let c = 0; c < 3; c++) {
        mix[c] = space.decode(over[at + c]!);
        below[c] = space.decode(under[at + c]!);
      }
      neutralize(mix, below, shares[i]!, how, space);
      for (let c = 0; c < 3; c++) {
        const value = space.encode(mix[c]!);
        pixels[i * bands + c] = sample === 'f32' ? clampUnit(value) : quantise(value, full);
      }
    }
  };
};
