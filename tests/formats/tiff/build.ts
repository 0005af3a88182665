/** A tag for a file built by hand: number, field type (3 SHORT, 4 LONG, 2 ASCII, 16 LONG8 …), values. */
export type Tag = readonly [tag: number, type: number, values: readonly number[] | string];

export interface Page {
  readonly tags: readonly Tag[];
  /** Bytes of each strip or tile; their offsets and counts become tags 273 and 279 unless `tags` has its own. */
  readonly chunks: readonly Uint8Array[];
  /** Offsets are tag 324 and counts 325. */
  readonly tiled?: boolean;
  /** Leaves the byte counts out. */
  readonly noCounts?: boolean;
}

export interface FileForm {
  readonly bigEndian?: boolean;
  readonly big?: boolean;
  /** The directory (by number) that the last one points to, for a chain that loops. */
  readonly loopTo?: number;
}

/** Bytes of one number of each field type; a rational is two. */
const SIZES: Readonly<Record<number, number>> = {
  1: 1,
  2: 1,
  3: 2,
  4: 4,
  5: 4,
  6: 1,
  7: 1,
  8: 2,
  9: 4,
  10: 4,
  11: 4,
  12: 8,
  13: 4,
  16: 8,
  17: 8,
};

/**
 * A TIFF file put together byte by byte with none of the library's code: chunks first, then each page's values and
 * directory.
 */
export const buildTiff = (
  pages: readonly Page[],
  { bigEndian = false, big = false, loopTo }: FileForm = {},
): Uint8Array => {
  const little = !bigEndian;
  const bytes = new Uint8Array(1 << 20);
  const view = new DataView(bytes.buffer);
  const pointer = big ? 8 : 4;
  const putPointer = (at: number, value: number) =>
    big ? view.setBigUint64(at, BigInt(value), little) : view.setUint32(at, value, little);
  const putValue = (at: number, type: number, value: number) => {
    const size = SIZES[type] ?? 1;
    if (type === 12) view.setFloat64(at, value, little);
    else if (type === 11) view.setFloat32(at, value, little);
    else if (size === 1) view.setUint8(at, value);
    else if (size === 2) view.setUint16(at, value, little);
    else if (size === 4) view.setUint32(at, value, little);
    else view.setBigUint64(at, BigInt(value), little);
  };
  bytes.set(bigEndian ? [0x4d, 0x4d] : [0x49, 0x49]);
  view.setUint16(2, big ? 43 : 42, little);
  if (big) view.setUint16(4, 8, little);
  let end = big ? 16 : 8;
  let link = big ? 8 : 4;
  const starts: number[] = [];
  for (const page of pages) {
    const offsets = page.chunks.map((chunk) => {
      const at = end;
      bytes.set(chunk, at);
      end += chunk.length + (chunk.length % 2);
      return at;
    });
    const own = new Set(page.tags.map(([tag]) => tag));
    const [where, counts] = page.tiled ? [324, 325] : [273, 279];
    const tags: Tag[] = [...page.tags];
    if (!own.has(where)) tags.push([where, 4, offsets]);
    if (!own.has(counts) && !page.noCounts) tags.push([counts, 4, page.chunks.map((chunk) => chunk.length)]);
    tags.sort((a, b) => a[0] - b[0]);
    const entries = tags.map(([tag, type, given]) => {
      const values = typeof given === 'string' ? [...Buffer.from(`${given}\0`)] : given;
      const length = (SIZES[type] ?? 1) * values.length;
      let at = -1;
      if (length > pointer) {
        at = end;
        end += length + (length % 2);
        values.forEach((value, i) => {
          putValue(at + i * (SIZES[type] ?? 1), type, value);
        });
      }
      return { tag, type, values, at, count: type === 5 || type === 10 ? values.length / 2 : values.length };
    });
    putPointer(link, end);
    starts.push(end);
    if (big) view.setBigUint64(end, BigInt(entries.length), little);
    else view.setUint16(end, entries.length, little);
    end += big ? 8 : 2;
    for (const { tag, type, values, at, count } of entries) {
      view.setUint16(end, tag, little);
      view.setUint16(end + 2, type, little);
      putPointer(end + 4, count);
      const field = end + 4 + pointer;
      if (at >= 0) putPointer(field, at);
      else
        values.forEach((value, i) => {
          putValue(field + i * (SIZES[type] ?? 1), type, value);
        });
      end = field + pointer;
    }
    link = end;
    end += pointer;
  }
  if (loopTo !== undefined) putPointer(link, starts[loopTo]!);
  return bytes.slice(0, end);
};

/** The tags of a plain grey picture; `more` replaces those of the same number. */
export const greyTags = (width: number, height: number, bits: number, more: readonly Tag[] = []): Tag[] => {
  const own = new Set(more.map(([tag]) => tag));
  const plain: Tag[] = [
    [256, 4, [width]],
    [257, 4, [height]],
    [258, 3, [bits]],
    [259, 3, [1]],
    [262, 3, [1]],
    [277, 3, [1]],
    [278, 4, [height]],
  ];
  return [...plain.filter(([tag]) => !own.has(tag)), ...more];
};

/** 16-bit samples as bytes. */
export const words = (values: readonly number[], bigEndian = false): Uint8Array => {
  const view = new DataView(new ArrayBuffer(2 * values.length));
  values.forEach((value, i) => {
    view.setUint16(2 * i, value, !bigEndian);
  });
  return new Uint8Array(view.buffer);
};

/** A ramp of distinct 16-bit values. */
export const ramp = (count: number): number[] => Array.from({ length: count }, (_, i) => (i * 257 + 3) % 65536);
