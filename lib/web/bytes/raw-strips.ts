import { formatError, throwIfCancelled } from '../../plane/errors.ts';
import type { PlaneSource, RawRows } from '../../plane/plane.ts';
import { type StripOptions, stripRows } from '../../plane/strips.ts';
import type { Rows } from '../workers/bands.ts';

/** Stored rows as they lie in a file. */
export interface StoredRows {
  readonly blob: Blob;
  readonly file: string;
  readonly width: number;
  readonly height: number;
  readonly raw: RawRows;
}

/** Bytes fetched at a time: a call costs as much as a megabyte. */
const PIECE = 4 << 20;

/**
 * Runs `visit` over some rows, strip by strip, top first, with the stored bytes of each strip put top first into `into`.
 * What comes next is fetched meanwhile.
 * @param into room for the bytes of a strip of the usual height
 * @throws LinewashError 'format' where the file changed or vanished since it was chosen.
 */
export const eachStoredStrip = async (
  stored: StoredRows,
  { y, rows }: Rows,
  into: Uint8Array,
  visit: (y: number, rows: number) => void,
  { signal, progress }: StripOptions,
): Promise<void> => {
  const { width, raw } = stored;
  const strip = stripRows(width);
  const each = strip * Math.max(1, Math.floor(PIECE / (strip * raw.rowBytes)));
  const fetchAt = (done: number) =>
    done < rows ? fetchRows(stored, y + done, Math.min(each, rows - done)) : undefined;
  let next = fetchAt(0);
  for (let done = 0; done < rows; done += each) {
    throwIfCancelled(signal);
    const bytes = await next!;
    const fetched = Math.min(each, rows - done);
    next = fetchAt(done + each);
    next?.catch(() => {});
    for (let from = 0; from < fetched; from += strip) {
      const some = Math.min(strip, fetched - from);
      placeRows(bytes, { from, rows: some, of: fetched }, raw, into);
      visit(y + done + from, some);
    }
    progress?.(Math.min(1, (done + each) / rows));
  }
};

const fetchRows = async ({ blob, file, height, raw }: StoredRows, y: number, rows: number): Promise<Uint8Array> => {
  const first = raw.bottomUp ? height - y - rows : y;
  const start = raw.offset + first * raw.rowBytes;
  const end = start + rows * raw.rowBytes;
  const bytes = await blob
    .slice(start, end)
    .arrayBuffer()
    .catch(() => undefined);
  if (bytes === undefined || bytes.byteLength < end - start)
    throw formatError(file, 'the file can no longer be read: it was changed or moved', 'open it again');
  return new Uint8Array(bytes);
};

/** Copies rows [from, from + rows) of `of` that were fetched together, top first. */
const placeRows = (
  bytes: Uint8Array,
  { from, rows, of }: { from: number; rows: number; of: number },
  { rowBytes, bottomUp }: RawRows,
  into: Uint8Array,
): void => {
  const put = (stored: number, count: number, row: number) =>
    into.set(bytes.subarray(stored * rowBytes, (stored + count) * rowBytes), row * rowBytes);
  if (!bottomUp) put(from, rows, 0);
  else for (let row = 0; row < rows; row++) put(of - 1 - from - row, 1, row);
};

/** How a source's rows lie in the Blob it was opened from; undefined where they do not lie there as they are. */
export const storedRows = ({ file, width, height, raw }: PlaneSource, blob: Blob): StoredRows | undefined =>
  raw && { blob, file, width, height, raw };
