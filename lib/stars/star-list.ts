import type { StarShape } from './shape.ts';

/** What a list says of one line. */
export interface StarLine {
  readonly name: string;
  readonly shape: StarShape;
  /** Noise of a pixel at the background, in units of the line. */
  readonly noise: number;
  /** How much the variance rises for each unit above `level`, see `LineNoise`. */
  readonly perCount: number;
  readonly level: number;
  /** From this value on the pixels of stars are taken for saturated; absent for never. */
  readonly full?: number | undefined;
}

/**
 * The stars of a frame, found once in all its lines; ordered by y, then x. Values are float32, so that whoever
 * has the list makes the same picture of it.
 */
export interface StarList {
  readonly lines: readonly StarLine[];
  readonly count: number;
  /** Pixels from the centre of the top left pixel. */
  readonly x: Float32Array;
  readonly y: Float32Array;
  /** Peak above noise over all lines together. */
  readonly snr: Float32Array;
  /** For each line: peak of each star in units of the line, 0 or more. */
  readonly peaks: readonly Float32Array[];
  /** For each line: what lies under each star. */
  readonly under: readonly Float32Array[];
}

/** A list as text, and what it is about: plain JSON. */
export interface PackedStars {
  readonly lines: readonly StarLine[];
  readonly count: number;
  /** Float32 values, little-endian, base64: x, y, snr, then peaks and what lies under for each line. */
  readonly data: string;
}

/** A list that was found, and its fingerprint. */
export interface FoundStars extends PackedStars {
  /** SHA-256 of `data`, in hexadecimal. */
  readonly hash: string;
}

const columnsOf = ({ x, y, snr, peaks, under }: StarList): Float32Array[] => [
  x,
  y,
  snr,
  ...peaks.flatMap((peak, k) => [peak, under[k]!]),
];

export const packStars = (list: StarList): PackedStars => {
  const columns = columnsOf(list);
  const bytes = new Uint8Array(4 * list.count * columns.length);
  const view = new DataView(bytes.buffer);
  let at = 0;
  for (const column of columns) for (const value of column) view.setFloat32(4 * at++, value, true);
  let letters = '';
  for (let i = 0; i < bytes.length; i += 0x6000) letters += btoa(String.fromCharCode(...bytes.subarray(i, i + 0x6000)));
  return { lines: list.lines, count: list.count, data: letters };
};

/** Undefined where the text does not hold what it should. */
export const unpackStars = ({ lines, count, data }: PackedStars): StarList | undefined => {
  let letters: string;
  try {
    letters = atob(data);
  } catch {
    return undefined;
  }
  const columns = 3 + 2 * lines.length;
  if (letters.length !== 4 * count * columns) return undefined;
  const bytes = new Uint8Array(letters.length);
  for (let i = 0; i < bytes.length; i++) bytes[i] = letters.charCodeAt(i);
  const view = new DataView(bytes.buffer);
  const column = (index: number) => {
    const values = new Float32Array(count);
    for (let i = 0; i < count; i++) values[i] = view.getFloat32(4 * (index * count + i), true);
    return values;
  };
  return {
    lines,
    count,
    x: column(0),
    y: column(1),
    snr: column(2),
    peaks: lines.map((_, k) => column(3 + 2 * k)),
    under: lines.map((_, k) => column(4 + 2 * k)),
  };
};

/** The noise of a pixel of a line under a star. */
export const noiseUnder = ({ noise, perCount, level }: StarLine, under: number): number =>
  Math.sqrt(noise * noise + perCount * Math.max(0, under - level));

/** A part of the frame that a list belongs to: its top left pixel, and its size. */
export interface Window {
  readonly left: number;
  readonly top: number;
  readonly width: number;
  readonly height: number;
}

/** Indices [from, to) of the stars with first ≤ y ≤ last. */
export const starsBetween = ({ y, count }: Pick<StarList, 'y' | 'count'>, first: number, last: number) => {
  const placeOf = (value: number, after: boolean): number => {
    let [low, high] = [0, count];
    while (low < high) {
      const middle = (low + high) >> 1;
      if (after ? y[middle]! <= value : y[middle]! < value) low = middle + 1;
      else high = middle;
    }
    return low;
  };
  return [placeOf(first, false), placeOf(last, true)] as const;
};
