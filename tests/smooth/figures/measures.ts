import type { Size } from './pictures.ts';

/** Root mean square errors of colour (a, b) and lightness of a picture in OKLab, over marked pixels or all. */
export const errorOf = (lab: Float64Array, truth: Float64Array, marks?: Uint8Array) => {
  let [ab, light, count] = [0, 0, 0];
  for (let i = 0; i < lab.length / 3; i++) {
    if (marks && !marks[i]) continue;
    count++;
    light += (lab[3 * i]! - truth[3 * i]!) ** 2;
    ab += (lab[3 * i + 1]! - truth[3 * i + 1]!) ** 2 + (lab[3 * i + 2]! - truth[3 * i + 2]!) ** 2;
  }
  return { ab: Math.sqrt(ab / count), L: Math.sqrt(light / count), share: (3 * count) / lab.length };
};

const BLOCK = 64;

/** How far the mean colour (a, b) of whole blocks of 64 × 64 pixels lies from that of another picture: root mean square, and most. */
export const blockError = (lab: Float64Array, other: Float64Array, { width, height }: Size) => {
  const distances: number[] = [];
  for (let top = 0; top + BLOCK <= height; top += BLOCK)
    for (let left = 0; left + BLOCK <= width; left += BLOCK) {
      let [a, b] = [0, 0];
      for (let y = top; y < top + BLOCK; y++)
        for (let x = left; x < left + BLOCK; x++) {
          const i = 3 * (y * width + x);
          a += lab[i + 1]! - other[i + 1]!;
          b += lab[i + 2]! - other[i + 2]!;
        }
      distances.push(Math.hypot(a, b) / BLOCK ** 2);
    }
  return { rms: Math.hypot(...distances) / Math.sqrt(distances.length), most: Math.max(...distances) };
};

/** Connected regions (by edges) of at least four pixels whose value exceeds a limit, up or down. */
export const blobsAbove = (plane: Float32Array, { width, height }: Size, limit: number): number => {
  const seen = new Uint8Array(plane.length);
  let found = 0;
  for (let start = 0; start < plane.length; start++) {
    if (seen[start] || Math.abs(plane[start]!) <= limit) continue;
    const sign = Math.sign(plane[start]!);
    const open = [start];
    seen[start] = 1;
    let pixels = 0;
    for (let i = open.pop(); i !== undefined; i = open.pop()) {
      pixels++;
      const x = i % width;
      const near = [
        x > 0 ? i - 1 : -1,
        x < width - 1 ? i + 1 : -1,
        i - width,
        i + width < width * height ? i + width : -1,
      ];
      for (const j of near)
        if (j >= 0 && !seen[j] && plane[j]! * sign > limit) {
          seen[j] = 1;
          open.push(j);
        }
    }
    if (pixels >= 4) found++;
  }
  return found;
};

/** Places where a plane has a local maximum above a limit, at least so far from the border. */
export const peaksOf = (plane: Float32Array, { width, height }: Size, limit: number, border: number): number[] => {
  const peaks: number[] = [];
  for (let y = border; y < height - border; y++)
    for (let x = border; x < width - border; x++) {
      const i = y * width + x;
      if (plane[i]! <= limit) continue;
      const near = [i - 1, i + 1, i - width - 1, i - width, i - width + 1, i + width - 1, i + width, i + width + 1];
      if (near.every((j) => plane[j]! < plane[i]!)) peaks.push(i);
    }
  return peaks;
};

/** Mean over places of a plane in a ring around them, radii in pixels, both included. */
export const ringMean = (plane: Float32Array, width: number, places: readonly number[], from: number, to: number) => {
  let [sum, count] = [0, 0];
  for (let v = -to; v <= to; v++)
    for (let u = -to; u <= to; u++) {
      const r = Math.hypot(u, v);
      if (r < from || r > to) continue;
      for (const place of places) sum += plane[place + v * width + u]!;
      count += places.length;
    }
  return sum / count;
};

/** Pearson's correlation over marked pixels. */
export const correlation = (a: Float32Array, b: Float32Array, marks: Uint8Array): number => {
  let [n, sa, sb, ab, aa, bb] = [0, 0, 0, 0, 0, 0];
  for (let i = 0; i < a.length; i++) {
    if (!marks[i]) continue;
    n++;
    sa += a[i]!;
    sb += b[i]!;
    ab += a[i]! * b[i]!;
    aa += a[i]! ** 2;
    bb += b[i]! ** 2;
  }
  return (ab - (sa * sb) / n) / Math.sqrt((aa - sa ** 2 / n) * (bb - sb ** 2 / n));
};

/** Root mean square over marked pixels of the difference of two planes. */
export const distance = (a: Float32Array, b: Float32Array, marks: Uint8Array): number => {
  let [n, sum] = [0, 0];
  for (let i = 0; i < a.length; i++)
    if (marks[i]) {
      n++;
      sum += (a[i]! - b[i]!) ** 2;
    }
  return Math.sqrt(sum / n);
};

export const difference = (a: Float32Array, b: Float32Array, unit: (i: number) => number = () => 1): Float32Array =>
  a.map((value, i) => (value - b[i]!) / unit(i));

export const worst = (values: readonly number[]): number => Math.max(...values);
