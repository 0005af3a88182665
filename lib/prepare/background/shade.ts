/**
 * What is left of a background beside its polynomial in a part of the frame: heights at the nodes of an even grid,
 * bilinear between them, 0 outside. Positions as in `Surface`, so that one shade fits every size of a picture; nodes may
 * lie beyond the edges of the frame.
 */
export interface Shade {
  /** Frame positions of the first and the last column and row of nodes. */
  readonly left: number;
  readonly top: number;
  readonly right: number;
  readonly bottom: number;
  /** Nodes in each direction, two at least. */
  readonly columns: number;
  readonly rows: number;
  /** Row by row from the top left. */
  readonly values: readonly number[];
}

/** A row of a shade: its heights at the columns of nodes; undefined where the row lies outside. */
export const shadeRow = ({ top, bottom, columns, rows, values }: Shade, v: number): Float64Array | undefined => {
  if (!(v >= top && v <= bottom)) return undefined;
  const t = ((v - top) / (bottom - top)) * (rows - 1);
  const j = Math.min(rows - 2, Math.floor(t));
  const share = t - j;
  return Float64Array.from({ length: columns }, (_, c) => {
    const at = j * columns + c;
    return (1 - share) * values[at]! + share * values[at + columns]!;
  });
};

/** Height along a row of a shade; 0 outside. */
export const alongRow = ({ left, right, columns }: Shade, row: Float64Array, u: number): number => {
  if (!(u >= left && u <= right)) return 0;
  const s = ((u - left) / (right - left)) * (columns - 1);
  const i = Math.min(columns - 2, Math.floor(s));
  const share = s - i;
  return (1 - share) * row[i]! + share * row[i + 1]!;
};

/** Height of a shade at (u, v). */
export const shadeAt = (shade: Shade, u: number, v: number): number => {
  const row = shadeRow(shade, v);
  return row === undefined ? 0 : alongRow(shade, row, u);
};
