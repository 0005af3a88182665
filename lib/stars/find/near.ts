/** Things at places of a plane, found again by what is near. */
export interface Places {
  readonly x: ArrayLike<number>;
  readonly y: ArrayLike<number>;
}

const CELL = 16;
const keyOf = (i: number, j: number) => i * 0x10000 + j;

/** Calls back with each place whose cell lies within a distance of a point, in rising order of cells: some are further away. */
export const placesNear = ({ x, y }: Places) => {
  const cells = new Map<number, number[]>();
  for (let s = 0; s < x.length; s++) {
    const key = keyOf(Math.floor(y[s]! / CELL) + 1, Math.floor(x[s]! / CELL) + 1);
    const cell = cells.get(key);
    if (cell) cell.push(s);
    else cells.set(key, [s]);
  }
  return (px: number, py: number, distance: number, visit: (s: number) => void): void => {
    const [i0, i1] = [py - distance, py + distance].map((v) => Math.floor(v / CELL) + 1) as [number, number];
    const [j0, j1] = [px - distance, px + distance].map((v) => Math.floor(v / CELL) + 1) as [number, number];
    for (let i = Math.max(0, i0); i <= i1; i++)
      for (let j = Math.max(0, j0); j <= j1; j++) for (const s of cells.get(keyOf(i, j)) ?? []) visit(s);
  };
};
