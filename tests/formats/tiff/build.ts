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
  /** Pages inside it: their offsets are tag 330. */
  readonly inside?: readonly Page[];
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

/** A file as it grows. */
interface Draft {
  readonly view: DataView;
  readonly little: boolean;
  readonly big: boolean;
  end: number;
  /** Where the offset of the next directory goes. */
  link: number;
}

const putNumber = ({ view, little }: Draft, at: number, type: number, value: number): void => {
  const size = SIZES[type] ?? 1;
  if (type === 12) view.setFloat64(at, value, little);
  else if (type === 11) view.setFloat32(at, value, little);
  else if (size === 1) view.setUint8(at, value);
  else if (size === 2) view.setUint16(at, value, little);
  else if (size === 4) view.setUint32(at, value, little);
  else view.setBigUint64(at, BigInt(value), little);
};

const putNumbers = (draft: Draft, at: number, type: number, values: readonly number[]): void => {
  for (const [i, value] of values.entries()) putNumber(draft, at + i * (SIZES[type] ?? 1), type, value);
};

/** LONG in classic files, LONG8 in BigTIFF. */
const putPointer = (draft: Draft, at: number, value: number): void => putNumber(draft, at, draft.big ? 16 : 4, value);

/** Takes room at the end, an even number of bytes. */
const take = (draft: Draft, length: number): number => {
  const at = draft.end;
  draft.end += length + (length % 2);
  return at;
};

/** A page's tags in order, with where its chunks were put. */
const tagsOf = (page: Page, offsets: readonly number[], inside: readonly number[]): Tag[] => {
  const own = new Set(page.tags.map(([tag]) => tag));
  const [where, counts] = page.tiled ? [324, 325] : [273, 279];
  const tags: Tag[] = [...page.tags];
  if (inside.length > 0) tags.push([330, 4, inside]);
  if (!own.has(where)) tags.push([where, 4, offsets]);
  if (!own.has(counts) && !page.noCounts) tags.push([counts, 4, page.chunks.map((chunk) => chunk.length)]);
  return tags.sort((a, b) => a[0] - b[0]);
};

/** Chunks, long values, directory; returns where the directory starts. */
const putPage = (draft: Draft, page: Page): number => {
  const inside = (page.inside ?? []).map((inner) => {
    // Its link is at a place that nobody looks at.
    const own = { ...draft, link: take(draft, 8) };
    own.end = draft.end;
    const at = putPage(own, inner);
    draft.end = own.end + (own.end % 2);
    return at;
  });
  const pointer = draft.big ? 8 : 4;
  const offsets = page.chunks.map((chunk) => {
    const at = take(draft, chunk.length);
    new Uint8Array(draft.view.buffer).set(chunk, at);
    return at;
  });
  const entries = tagsOf(page, offsets, inside).map(([tag, type, given]) => {
    const values = typeof given === 'string' ? [...Buffer.from(`${given}\0`)] : given;
    const length = (SIZES[type] ?? 1) * values.length;
    const at = length > pointer ? take(draft, length) : -1;
    if (at >= 0) putNumbers(draft, at, type, values);
    return { tag, type, values, at };
  });
  const start = draft.end;
  putPointer(draft, draft.link, start);
  putNumber(draft, start, draft.big ? 16 : 3, entries.length);
  let place = start + (draft.big ? 8 : 2);
  for (const { tag, type, values, at } of entries) {
    putNumbers(draft, place, 3, [tag, type]);
    putPointer(draft, place + 4, type === 5 || type === 10 ? values.length / 2 : values.length);
    if (at >= 0) putPointer(draft, place + 4 + pointer, at);
    else putNumbers(draft, place + 4 + pointer, type, values);
    place += 4 + 2 * pointer;
  }
  draft.link = place;
  draft.end = place + pointer;
  return start;
};

/** A TIFF file put together byte by byte with none of the library's code: for each page chunks, values, directory. */
export const buildTiff = (
  pages: readonly Page[],
  { bigEndian = false, big = false, loopTo }: FileForm = {},
  room = 1 << 20,
): Uint8Array => {
  const bytes = new Uint8Array(room);
  const start = big ? 16 : 8;
  const draft: Draft = { view: new DataView(bytes.buffer), little: !bigEndian, big, end: start, link: start / 2 };
  bytes.set(bigEndian ? [0x4d, 0x4d] : [0x49, 0x49]);
  putNumber(draft, 2, 3, big ? 43 : 42);
  if (big) putNumber(draft, 4, 3, 8);
  const starts = pages.map((page) => putPage(draft, page));
  if (loopTo !== undefined) putPointer(draft, draft.link, starts[loopTo]!);
  return bytes.slice(0, draft.end);
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
