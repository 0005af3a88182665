import { SPACES } from '../../lib/colour/spaces.ts';
import type { ScreenPicture } from '../../lib/web/screen.ts';

const CODES = 256;
/** Steps of linear light, fine enough to tell the darkest codes apart. */
const LIGHTS = 1 << 15;

/** How often each code of 8 bits occurs in one colour of a picture, or in its luminance. */
export interface Tone {
  readonly counts: Uint32Array;
  /** Shares of the pixels, 0…1, that have none of it and all of it. */
  readonly none: number;
  readonly full: number;
  /** The value, 0…1, that half of the pixels do not exceed. */
  readonly median: number;
}

/** The tones of a picture as it is on screen; pixels without data are left out. */
export interface Tones {
  readonly pixels: number;
  readonly colours: readonly [Tone, Tone, Tone];
  /** CIE luminance, put through the transfer curve of the picture's space. */
  readonly luminance: Tone;
}

const toneOf = (counts: Uint32Array, pixels: number): Tone => {
  const most = Math.max(1, pixels);
  let [code, below] = [0, counts[0]!];
  while (below < pixels / 2 && code < CODES - 1) below += counts[++code]!;
  return { counts, none: counts[0]! / most, full: counts[CODES - 1]! / most, median: code / (CODES - 1) };
};

/** Luminance of each code of each colour in steps of light, and the code of each step. */
const tablesOf = (space: ScreenPicture['space']) => {
  const { luminance, display } = SPACES[space];
  const lights = luminance.map((weight) =>
    Float32Array.from({ length: CODES }, (_, v) => weight * display.decode(v / (CODES - 1)) * (LIGHTS - 1)),
  );
  const codes = Uint8Array.from({ length: LIGHTS }, (_, y) =>
    Math.round(display.encode(y / (LIGHTS - 1)) * (CODES - 1)),
  );
  return { lights, codes };
};

const made: Partial<Record<ScreenPicture['space'], ReturnType<typeof tablesOf>>> = {};

/** Counts the codes of a picture. */
export const tonesOf = ({ data, space }: Pick<ScreenPicture, 'data' | 'space'>): Tones => {
  made[space] ??= tablesOf(space);
  const { lights, codes } = made[space];
  const [lightR, lightG, lightB] = lights as [Float32Array, Float32Array, Float32Array];
  const [r, g, b, y] = Array.from({ length: 4 }, () => new Uint32Array(CODES)) as [
    Uint32Array,
    Uint32Array,
    Uint32Array,
    Uint32Array,
  ];
  let pixels = 0;
  for (let at = 0; at < data.length; at += 4) {
    if (data[at + 3] === 0) continue;
    const [red, green, blue] = [data[at]!, data[at + 1]!, data[at + 2]!];
    pixels++;
    r[red]!++;
    g[green]!++;
    b[blue]!++;
    y[codes[Math.round(lightR[red]! + lightG[green]! + lightB[blue]!)]!]!++;
  }
  return {
    pixels,
    colours: [toneOf(r, pixels), toneOf(g, pixels), toneOf(b, pixels)],
    luminance: toneOf(y, pixels),
  };
};
