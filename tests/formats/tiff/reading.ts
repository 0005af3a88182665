import { readFileSync } from 'node:fs';
import { basename } from 'node:path';
import { openTiff, type TiffSelect } from '../../../lib/formats/tiff/open.ts';
import { type ByteSource, memorySource } from '../../../lib/plane/bytes.ts';
import type { PlaneSource } from '../../../lib/plane/plane.ts';

export const fileSource = (path: string): ByteSource => memorySource(basename(path), readFileSync(path));

export const openFile = (path: string, select?: TiffSelect): Promise<PlaneSource> => openTiff(fileSource(path), select);

/** The whole picture at once, top row first. */
export const readWhole = async (plane: PlaneSource): Promise<Float64Array> => {
  const values = new Float64Array(plane.width * plane.height);
  await plane.readRows(0, plane.height, values);
  return values;
};

/** The whole picture put together from windows of odd heights, the last window first and the rest in order. */
export const readInWindows = async (plane: PlaneSource): Promise<Float64Array> => {
  const { width, height } = plane;
  const values = new Float64Array(width * height);
  const windows: [number, number][] = [];
  for (let y = 0, i = 0; y < height; i++) {
    const rows = Math.min([1, 3, 7, 5, 13][i % 5]!, height - y);
    windows.push([y, rows]);
    y += rows;
  }
  for (const [y, rows] of [windows.at(-1)!, ...windows]) {
    const part = new Float64Array(rows * width);
    await plane.readRows(y, rows, part);
    values.set(part, y * width);
  }
  return values;
};

/** Where two pictures first differ, as text; empty where they agree (NaN equals NaN). */
export const firstDifference = (found: ArrayLike<number>, wanted: ArrayLike<number>): string => {
  if (found.length !== wanted.length) return `${found.length} values instead of ${wanted.length}`;
  for (let i = 0; i < found.length; i++)
    if (found[i] !== wanted[i] && !(Number.isNaN(found[i]) && Number.isNaN(wanted[i])))
      return `value ${i} is ${found[i]} instead of ${wanted[i]}`;
  return '';
};

/** The physical values that `raw` describes, decoded here by its own words alone. */
export const readRaw = async (source: ByteSource, plane: PlaneSource): Promise<Float64Array> => {
  const raw = plane.raw!;
  const values = new Float64Array(plane.width * plane.height);
  for (let y = 0; y < plane.height; y++) {
    const stored = raw.bottomUp ? plane.height - 1 - y : y;
    const bytes = new Uint8Array(await source.read(raw.offset + stored * raw.rowBytes, raw.rowBytes));
    const view = new DataView(bytes.buffer);
    const little = !raw.bigEndian;
    const size = raw.rowBytes / plane.width;
    const read = {
      u8: (at: number) => view.getUint8(at),
      i8: (at: number) => view.getInt8(at),
      u16: (at: number) => view.getUint16(at, little),
      i16: (at: number) => view.getInt16(at, little),
      u32: (at: number) => view.getUint32(at, little),
      i32: (at: number) => view.getInt32(at, little),
      f32: (at: number) => view.getFloat32(at, little),
      f64: (at: number) => view.getFloat64(at, little),
    }[raw.type as 'u8'];
    for (let x = 0; x < plane.width; x++) {
      const value = read(x * size);
      values[y * plane.width + x] = value === raw.blank ? Number.NaN : raw.zero + raw.scale * value;
    }
  }
  return values;
};
