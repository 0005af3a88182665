import { formatError } from '../../plane/errors.ts';
import type { Hdu } from './hdu.ts';
import { countOf, EXPORT_AGAIN, type Header, stringOf } from './header.ts';

/** One column of a binary table (FITS standard 4.0, section 7.3). */
export interface Column {
  /** Byte offset within a row. */
  readonly offset: number;
  /** Letter of the type: D, E, J ... or P and Q for descriptors of variable-length arrays. */
  readonly type: string;
  /** Letter of the array's elements, for P and Q. */
  readonly element: string;
}

/** Where the parts of a binary table lie; all within the HDU's data. */
export interface TileTable {
  readonly rowBytes: number;
  readonly rows: number;
  readonly offset: number;
  readonly heapOffset: number;
  readonly end: number;
  readonly columns: ReadonlyMap<string, Column>;
}

const TYPE_BYTES: Readonly<Record<string, number>> = {
  L: 1,
  B: 1,
  I: 2,
  J: 4,
  K: 8,
  A: 1,
  E: 4,
  D: 8,
  C: 8,
  M: 16,
  P: 8,
  Q: 16,
};

/** The columns and heap of a table. @throws LinewashError 'format' where they contradict each other. */
export const readTileTable = (file: string, hdu: Hdu): TileTable => {
  const { header } = hdu;
  const rowBytes = countOf(file, header, 'NAXIS1');
  const rows = countOf(file, header, 'NAXIS2');
  const heap = countOf(file, header, 'THEAP', rowBytes * rows);
  const columns = readColumns(file, header, rowBytes);
  if (heap < rowBytes * rows || heap > hdu.dataBytes)
    throw formatError(file, 'the header is wrong: THEAP lies outside the table', EXPORT_AGAIN);
  const { dataOffset: offset } = hdu;
  return { rowBytes, rows, offset, heapOffset: offset + heap, end: offset + hdu.dataBytes, columns };
};

const readColumns = (file: string, header: Header, rowBytes: number): Map<string, Column> => {
  const columns = new Map<string, Column>();
  const count = countOf(file, header, 'TFIELDS');
  let offset = 0;
  for (let n = 1; n <= Math.min(count, 999); n++) {
    const form = stringOf(header, `TFORM${n}`)?.trim().toUpperCase() ?? '';
    const parts = /^(\d{0,9})([LXBIJKAEDCMPQ])([A-Z]?)/.exec(form);
    if (!parts)
      throw formatError(file, `the header is wrong: TFORM${n} "${form.slice(0, 20)}" is no column type`, EXPORT_AGAIN);
    const [, repeat, type, element] = parts as unknown as [string, string, string, string];
    const length = repeat === '' ? 1 : Number(repeat);
    const name = stringOf(header, `TTYPE${n}`)?.trim().toUpperCase() ?? '';
    if (length > 0) columns.set(name, { offset, type, element });
    offset += type === 'X' ? Math.ceil(length / 8) : length * TYPE_BYTES[type]!;
  }
  if (offset > rowBytes)
    throw formatError(file, `the header is wrong: columns take ${offset} bytes, a row has ${rowBytes}`, EXPORT_AGAIN);
  return columns;
};

/** Place and length in bytes of a variable-length array. */
export interface HeapSpan {
  readonly offset: number;
  readonly length: number;
}

/**
 * The span that a descriptor in a table row names; undefined where the column is absent or the array empty.
 * @throws LinewashError 'format' where it leaves the heap.
 */
export const readSpan = (file: string, table: TileTable, row: DataView, name: string): HeapSpan | undefined => {
  const column = table.columns.get(name);
  if (!column || (column.type !== 'P' && column.type !== 'Q')) return undefined;
  const wide = column.type === 'Q';
  const count = wide ? Number(row.getBigInt64(column.offset)) : row.getInt32(column.offset);
  const place = wide ? Number(row.getBigInt64(column.offset + 8)) : row.getInt32(column.offset + 4);
  if (count === 0) return undefined;
  const length = count * (TYPE_BYTES[column.element] ?? 1);
  if (count < 0 || place < 0 || !(table.heapOffset + place + length <= table.end))
    throw formatError(file, `the table is damaged: ${name} points outside its heap`, 'copy or export the file again');
  return { offset: table.heapOffset + place, length };
};

/** The number in a column of a table row; undefined where there is no such column. */
export const readCell = (table: TileTable, row: DataView, name: string): number | undefined => {
  const column = table.columns.get(name);
  switch (column?.type) {
    case 'D':
      return row.getFloat64(column.offset);
    case 'E':
      return row.getFloat32(column.offset);
    case 'J':
      return row.getInt32(column.offset);
    case 'I':
      return row.getInt16(column.offset);
    case 'B':
      return row.getUint8(column.offset);
    default:
      return undefined;
  }
};
