/** How many pixels across and down share a sample of colour difference. */
export interface Thinning {
  readonly across: number;
  readonly down: number;
}

/** For each pixel of an axis the sample before it, the one behind it, and the weight of that. */
interface Places {
  readonly before: Int32Array;
  readonly behind: Int32Array;
  readonly weight: Float32Array;
}

/** Samples lie in the middle of the pixels that share them (ITU-T T.871 §8); the outermost go on to the edge. */
const placesOf = (pixels: number, step: number): Places => {
  const last = Math.ceil(pixels / step) - 1;
  const places = Float64Array.from({ length: pixels }, (_, i) => Math.min(last, Math.max(0, (i + 0.5) / step - 0.5)));
  const before = Int32Array.from(places, Math.floor);
  return {
    before,
    behind: before.map((i) => Math.min(last, i + 1)),
    weight: Float32Array.from(places, (place, i) => place - before[i]!),
  };
};

/** Two rows of samples mixed, into `into`. */
const mixRows = (
  samples: Uint8Array,
  count: number,
  { before, behind, weight }: Places,
  y: number,
  into: Float32Array,
) => {
  const [from, to, share] = [before[y]! * count, behind[y]! * count, weight[y]!];
  for (let i = 0; i < count; i++) into[i] = samples[from + i]! * (1 - share) + samples[to + i]! * share;
};

/** Every sample of one component where `across` × `down` pixels repeat it. */
const thinned = (pixels: Uint8Array, width: number, { across, down }: Thinning, component: number): Uint8Array => {
  const [columns, rows] = [Math.ceil(width / across), Math.ceil(pixels.length / 3 / width / down)];
  const samples = new Uint8Array(columns * rows);
  for (let y = 0, i = 0; y < rows; y++)
    for (let x = 0; x < columns; x++) samples[i++] = pixels[(y * down * width + x * across) * 3 + component]!;
  return samples;
};

/**
 * Luminance and colour differences to red, green and blue, in place: full range (ITU-T T.871 §7). Thinned-out differences
 * are interpolated linearly.
 * @param pixels three samples a pixel, each difference repeated over the pixels that share it
 */
export const toRgb = (pixels: Uint8Array, width: number, thinning: Thinning): void => {
  const [blues, reds] = [thinned(pixels, width, thinning, 1), thinned(pixels, width, thinning, 2)];
  const height = pixels.length / 3 / width;
  const columns = Math.ceil(width / thinning.across);
  const [down, { before, behind, weight }] = [placesOf(height, thinning.down), placesOf(width, thinning.across)];
  const [blueRow, redRow] = [new Float32Array(columns), new Float32Array(columns)];
  // Stores round and clamp.
  const out = new Uint8ClampedArray(pixels.buffer, pixels.byteOffset, pixels.length);
  for (let y = 0, at = 0; y < height; y++) {
    mixRows(blues, columns, down, y, blueRow);
    mixRows(reds, columns, down, y, redRow);
    for (let x = 0; x < width; x++, at += 3) {
      const [from, to, share] = [before[x]!, behind[x]!, weight[x]!];
      const light = out[at]!;
      const blue = blueRow[from]! * (1 - share) + blueRow[to]! * share - 128;
      const red = redRow[from]! * (1 - share) + redRow[to]! * share - 128;
      out[at] = light + 1.402 * red;
      out[at + 1] = light - ((0.114 * 1.772) / 0.587) * blue - ((0.299 * 1.402) / 0.587) * red;
      out[at + 2] = light + 1.772 * blue;
    }
  }
};
