import { readSync } from 'node:fs';
import { formatError } from '../../plane/errors.ts';
import type { Mask } from '../../plane/mask.ts';
import type { PlaneSource } from '../../plane/plane.ts';
import { canDecode, isScaled, rawForm, type SampleForm } from '../../plane/sample-form.ts';
import { framePosition, originOf, rowPolynomial, type Surface, surfaceRow } from '../../prepare/background/surface.ts';

/** Rows that lie uncompressed in a file, described so that any thread can read them. Plain data. */
export interface RawFileRows {
  readonly path: string;
  /** The file as the user named it. */
  readonly file: string;
  readonly width: number;
  readonly height: number;
  readonly offset: number;
  readonly rowBytes: number;
  readonly form: SampleForm & { readonly bottomUp: boolean };
  /** Taken off as rows are read; `form` is that of the result. */
  readonly surface: (Surface & { readonly bigEndian: boolean }) | undefined;
  /** Pixels that are undefined whatever the file holds there. */
  readonly hidden: Mask | undefined;
}

const paths = new WeakMap<PlaneSource, string>();

/** Notes which file a source reads. */
export const rememberPath = (source: PlaneSource, path: string): void => void paths.set(source, path);

/** Where a source's rows lie; undefined where its file is not known or rows are not stored as they are. */
export const rawFileRows = (source: PlaneSource): RawFileRows | undefined => {
  const origin = originOf(source);
  if (origin !== undefined) return withoutSurface(rawFileRows(origin.source), origin.surface);
  const path = paths.get(source);
  const { raw, file, width, height, type } = source;
  if (path === undefined || raw === undefined || !canDecode(raw.type)) return undefined;
  const { offset, rowBytes, hidden, bottomUp } = raw;
  return {
    path,
    file,
    width,
    height,
    offset,
    rowBytes,
    form: { ...rawForm(raw, type), bottomUp },
    surface: undefined,
    hidden,
  };
};

/** Kernels take surfaces off plain float32 samples, and only one. */
const withoutSurface = (rows: RawFileRows | undefined, surface: Surface): RawFileRows | undefined => {
  if (rows === undefined || rows.form.type !== 'f32' || isScaled(rows.form) || rows.surface) return undefined;
  const { bigEndian } = rows.form;
  return { ...rows, form: { ...rows.form, bigEndian: false }, surface: { ...surface, bigEndian } };
};

/** Takes a surface off one stored row of a kernel's memory, see `Engine.flatten`. */
type FlattenRow = (row: number, line: readonly number[], bigEndian: boolean) => void;

/**
 * Brings rows [y, y + rows), counted from the top, from an open file to where a kernel reads them.
 * @throws LinewashError 'format' where the file ends early
 */
export const readStrip = (
  handle: number,
  from: RawFileRows,
  [y, rows]: readonly [y: number, rows: number],
  into: Uint8Array,
  flatten: FlattenRow,
): void => {
  readRawRows(handle, from, y, rows, into);
  flattenRows(from, [y, rows], into, flatten);
};

/** Takes the surface off rows [y, y + rows) that lie in the memory of a kernel as stored. */
const flattenRows = (
  { surface, width, height, rowBytes, form }: RawFileRows,
  [y, rows]: readonly [y: number, rows: number],
  stored: Uint8Array,
  flatten: FlattenRow,
): void => {
  if (surface === undefined) return;
  const heights = new Float64Array(width);
  for (let row = 0; row < rows; row++) {
    const v = framePosition(y + (form.bottomUp ? rows - 1 - row : row), height);
    if (surface.shade === undefined) {
      flatten(row, rowPolynomial(surface, v), surface.bigEndian);
      continue;
    }
    // Kernels know polynomials alone.
    surfaceRow(surface, v, heights);
    takeOff(stored.subarray(row * rowBytes, (row + 1) * rowBytes), heights, surface.bigEndian);
  }
};

/** Takes heights off a row of float32 samples in float64 and leaves them little-endian, as `FlattenRow` does. */
const takeOff = ({ buffer, byteOffset, byteLength }: Uint8Array, heights: Float64Array, bigEndian: boolean): void => {
  const view = new DataView(buffer, byteOffset, byteLength);
  for (let x = 0; x < heights.length; x++)
    view.setFloat32(4 * x, view.getFloat32(4 * x, !bigEndian) - heights[x]!, true);
};

/** Reads the stored bytes of rows into the start of `into`. */
const readRawRows = (handle: number, from: RawFileRows, y: number, rows: number, into: Uint8Array): void => {
  const { rowBytes, height, form, file } = from;
  const first = form.bottomUp ? height - y - rows : y;
  const start = from.offset + first * rowBytes;
  const length = rows * rowBytes;
  for (let done = 0; done < length; ) {
    const count = readSync(handle, into, done, length - done, start + done);
    if (count === 0) throw formatError(file, 'the file became shorter while it was read', 'copy or export it again');
    done += count;
  }
};
