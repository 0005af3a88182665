/** A frame of physical values, top row first, NaN where there is no data. */
export interface Frame {
  readonly width: number;
  readonly height: number;
  readonly values: Float64Array;
}

const middleOf = (numbers: readonly number[]): number => {
  const sorted = [...numbers].sort((a, b) => a - b);
  const half = sorted.length / 2;
  return Number.isInteger(half) ? (sorted[half - 1]! + sorted[half]!) / 2 : sorted[Math.floor(half)]!;
};

/**
 * Spots filled as docs/maths/check.md says, written for reading, not for speed: each pixel asks for the spots it may belong to.
 * @param rounded how the frame's file keeps numbers
 */
export const fillSpots = (
  { width, height, values }: Frame,
  spots: readonly (readonly [x: number, y: number])[],
  rounded: (value: number) => number,
): Float64Array => {
  const far = (x: number, y: number, [sx, sy]: readonly [number, number]) =>
    Math.max(Math.abs(x - sx), Math.abs(y - sy));
  const at = (x: number, y: number) =>
    x < 0 || y < 0 || x >= width || y >= height ? Number.NaN : values[y * width + x]!;
  // The upper spot decides, or else the left one.
  const inTurn = [...spots].sort(([ax, ay], [bx, by]) => ay - by || ax - bx);
  const ringOf = (spot: readonly [number, number]): number[] => {
    const ring: number[] = [];
    for (let y = spot[1] - 2; y <= spot[1] + 2; y++)
      for (let x = spot[0] - 2; x <= spot[0] + 2; x++) {
        if (far(x, y, spot) !== 2 || Number.isNaN(at(x, y))) continue;
        if (spots.every((other) => far(x, y, other) > 1)) ring.push(at(x, y));
      }
    return ring;
  };
  const found = inTurn.map((spot) => {
    const ring = ringOf(spot);
    const middle = ring.length < 4 ? undefined : middleOf(ring);
    const scatter = middle === undefined ? 0 : 1.4826 * middleOf(ring.map((value) => Math.abs(value - middle)));
    return { spot, middle, limit: (middle ?? 0) + 3 * scatter };
  });
  return values.map((value, i) => {
    const [x, y] = [i % width, Math.floor(i / width)];
    if (Number.isNaN(value)) return value;
    for (const { spot, middle, limit } of found) {
      const steps = far(x, y, spot);
      if (middle !== undefined && (steps === 0 || (steps === 1 && value > limit))) return rounded(middle);
    }
    return value;
  });
};
