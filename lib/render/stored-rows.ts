import { type Mask, uniteMasks } from '../plane/mask.ts';
import type { FilePicture, Origin, PictureRows } from '../plane/origin.ts';
import { canDecode, isScaled, rawForm, type SampleForm } from '../plane/sample-form.ts';
import { framePosition, rowPolynomial, type Surface, surfaceRow } from '../prepare/background/surface.ts';

/**
 * Rows that lie uncompressed in a file, described so that a kernel on any thread can decode them itself: the short way
 * from file to picture. Plain data.
 */
export interface StoredRows {
  readonly picture: FilePicture;
  readonly width: number;
  readonly height: number;
  /** Byte of the first stored row. */
  readonly offset: number;
  readonly rowBytes: number;
  readonly form: SampleForm & { readonly bottomUp: boolean };
  /** Taken off as rows are read; `form` is that of the result. */
  readonly surface: (Surface & { readonly bigEndian: boolean }) | undefined;
  /** Pixels that are undefined whatever the file holds there. */
  readonly hidden: Mask | undefined;
}

/** The steps that kernels do themselves: a file, hidden pixels, one surface. */
interface ShortWay {
  readonly picture: FilePicture;
  readonly rows: PictureRows | undefined;
  readonly hidden?: Mask | undefined;
  readonly surface?: Surface | undefined;
}

const shortWay = (origin: Origin): ShortWay | undefined => {
  if (origin.step === 'file') return origin;
  if (origin.step !== 'hide' && origin.step !== 'surface') return undefined;
  const before = shortWay(origin.of);
  if (before === undefined) return undefined;
  if (origin.step === 'hide') return { ...before, hidden: uniteMasks(origin.mask, before.hidden) };
  return before.surface ? undefined : { ...before, surface: origin.surface as Surface };
};

/** Where a source's rows lie; undefined where they are not stored as they are, or a step needs more than a kernel does. */
export const storedRows = (origin: Origin | undefined): StoredRows | undefined => {
  const way = origin && shortWay(origin);
  if (way?.rows === undefined || !canDecode(way.rows.raw.type)) return undefined;
  const { picture, hidden, surface } = way;
  const { raw, type, width, height } = way.rows;
  const { offset, rowBytes, bottomUp, bigEndian } = raw;
  const form = { ...rawForm(raw, type), bottomUp };
  const rows: StoredRows = { picture, width, height, offset, rowBytes, form, hidden, surface: undefined };
  if (surface === undefined) return rows;
  // Kernels take surfaces off plain float32 samples only.
  if (form.type !== 'f32' || isScaled(form)) return undefined;
  return { ...rows, form: { ...form, bigEndian: false }, surface: { ...surface, bigEndian } };
};

/** Takes a surface off one stored row of a kernel's memory, see `Engine.flatten`. */
export type FlattenRow = (row: number, line: readonly number[], bigEndian: boolean) => void;

/** The bytes of rows [y, y + rows), counted from the top, as they lie in the file. */
export const storedSpan = ({ offset, rowBytes, height, form }: StoredRows, y: number, rows: number) => ({
  start: offset + (form.bottomUp ? height - y - rows : y) * rowBytes,
  length: rows * rowBytes,
});

/** Takes the surface off rows [y, y + rows) that lie in the memory of a kernel as stored. */
export const flattenRows = (
  { surface, width, height, rowBytes, form }: StoredRows,
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
