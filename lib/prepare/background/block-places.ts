import type { BlockGrid } from '../../plane/block-grid.ts';

/** Which block of a grid lies in which column and row of it. */
export interface BlockPlaces {
  readonly columns: number;
  readonly rows: number;
  /** Column and row of each block. */
  readonly column: Int32Array;
  readonly row: Int32Array;
  /** Index of the block at row · columns + column; −1 where none holds enough. */
  readonly at: Int32Array;
}

export const blockPlaces = ({ width, height, size, blocks }: BlockGrid): BlockPlaces => {
  const columns = Math.ceil(width / size);
  const rows = Math.ceil(height / size);
  const column = Int32Array.from(blocks, ({ x }) => Math.floor(x / size));
  const row = Int32Array.from(blocks, ({ y }) => Math.floor(y / size));
  const at = new Int32Array(columns * rows).fill(-1);
  for (let k = 0; k < blocks.length; k++) at[row[k]! * columns + column[k]!] = k;
  return { columns, rows, column, row, at };
};

/** Calls back for each of the (at most eight) blocks beside and diagonal to block k. */
export const eachNeighbour = (places: BlockPlaces, k: number, visit: (other: number) => void): void => {
  const { columns, rows, column, row, at } = places;
  for (let r = Math.max(0, row[k]! - 1); r <= Math.min(rows - 1, row[k]! + 1); r++)
    for (let c = Math.max(0, column[k]! - 1); c <= Math.min(columns - 1, column[k]! + 1); c++) {
      const other = at[r * columns + c]!;
      if (other >= 0 && other !== k) visit(other);
    }
};

/** 1 for marked blocks and for all that lie at most `steps` blocks from one, along rows, columns or diagonals. */
export const dilated = (places: BlockPlaces, marked: ArrayLike<number>, steps: number): Uint8Array => {
  let all = Uint8Array.from(marked);
  for (let step = 0; step < steps; step++) {
    const next = all.slice();
    for (let k = 0; k < all.length; k++)
      if (all[k])
        eachNeighbour(places, k, (other) => {
          next[other] = 1;
        });
    all = next;
  }
  return all;
};

/** Groups of marked blocks that touch, directly or through others. */
export const groupsOf = (places: BlockPlaces, marked: ArrayLike<number>): number[][] => {
  const open = Uint8Array.from(marked);
  const groups: number[][] = [];
  for (let k = 0; k < open.length; k++) {
    if (open[k] === 0) continue;
    const group = [k];
    open[k] = 0;
    for (let i = 0; i < group.length; i++)
      eachNeighbour(places, group[i]!, (other) => {
        if (open[other] === 0) return;
        open[other] = 0;
        group.push(other);
      });
    groups.push(group);
  }
  return groups;
};
