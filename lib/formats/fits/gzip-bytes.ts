import type { ByteSource } from '../../plane/bytes.ts';
import { formatError } from '../../plane/errors.ts';
import type { FitsBytes, SeekPoints } from './bytes.ts';
import {
  advanceGzip,
  type GzipCursor,
  MAX_RATIO,
  restoreCursor,
  saveCursor,
  startGzip,
  WINDOW,
} from './gzip-stream.ts';
import { queue } from './queue.ts';

/** Places to go back to: at most this many, so at most about 5 MB however long the file. */
const MAX_SAVED = 128;
const FIRST_SPACING = 1 << 20;
/** Beyond, gzip's own length field no longer counts. */
const MAX_INFLATED = 2 ** 32;

/**
 * A gzip file seen inflated, in any order and with bounded memory: one step of 256 KiB, and places to go back to every
 * MiB (further apart in large files). Only what is asked for is inflated, so a small file cannot grow without bound.
 * @param known what was found of the same file before
 * @param step inflated bytes at a time, less for who reads a header alone
 */
export const gzipBytes = (source: ByteSource, known?: SeekPoints, step?: number): FitsBytes => {
  const cursor = startGzip(step);
  const saved: GzipCursor[] = known ? [...known.points] : [saveCursor(cursor)];
  let spacing = known?.spacing ?? FIRST_SPACING;
  let seen = known?.seen ?? 0;
  const advance = async () => {
    await advanceGzip(source, cursor);
    seen = Math.max(seen, cursor.position);
    if (cursor.ended || cursor.position < saved.at(-1)!.position + spacing) return;
    saved.push(saveCursor(cursor));
    if (saved.length <= MAX_SAVED) return;
    for (let i = 0; i < saved.length; i++) saved.splice(i + 1, 1);
    spacing *= 2;
  };
  const seek = (offset: number) => {
    const start = cursor.position - (cursor.end - WINDOW);
    const best = saved.findLast((place) => place.position <= offset)!;
    if (offset < start || best.position > cursor.position) restoreCursor(cursor, best);
  };
  const reach = async (end: number): Promise<number> => {
    if (end > MAX_INFLATED)
      throw formatError(source.name, 'the picture inside the gzip file is larger than 4 GiB', 'uncompress it first');
    if (end <= seen) return seen;
    if (end > (source.size + 1) * MAX_RATIO) return cursor.position;
    if (cursor.position < end) seek(end);
    while (cursor.position < end && !cursor.ended) await advance();
    return cursor.position;
  };
  const read = async (offset: number, length: number): Promise<Uint8Array> => {
    const result = new Uint8Array(length);
    seek(offset);
    for (let done = 0; done < length; ) {
      const start = cursor.position - (cursor.end - WINDOW);
      const at = offset + done;
      if (at < cursor.position) {
        const from = WINDOW + at - start;
        const part = cursor.out.subarray(from, Math.min(cursor.end, from + length - done));
        result.set(part, done);
        done += part.length;
      } else if (cursor.ended) throw formatError(source.name, 'the gzip data end early', 'copy the file again');
      else await advance();
    }
    return result;
  };
  const inTurn = queue();
  return {
    name: source.name,
    inflated: true,
    available: (offset, length) =>
      inTurn(async () => Math.max(0, Math.min(length, (await reach(offset + length)) - offset))),
    read: (offset, length) => inTurn(() => read(offset, length)),
    seekPoints: () => ({ points: [...saved], spacing, seen }),
  };
};
