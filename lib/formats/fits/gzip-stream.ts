import type { ByteSource } from '../../plane/bytes.ts';
import { formatError, type LinewashError } from '../../plane/errors.ts';
import type { InflateState } from './deflate-codes.ts';
import { fastCrc32, fastInflate } from './fast-inflate.ts';
import { OUTPUT_MARGIN, startInflate } from './inflate.ts';

/** Matches reach back this far. */
export const WINDOW = 1 << 15;
/** Inflated bytes a step yields, where nothing else is asked for. */
const STEP = 1 << 18;
const INPUT_STEP = 1 << 17;

/** A place in a gzip file (RFC 1952) from which inflating can go on; `out` holds the window and the latest step. */
export interface GzipCursor {
  /** Position in the compressed file; counts all bytes handed to the state. */
  input: number;
  /** Undefined between members. */
  state: InflateState | undefined;
  readonly out: Uint8Array;
  /** The latest step is out[WINDOW, end); it lies at `position - (end - WINDOW)` of the inflated bytes. */
  end: number;
  /** Inflated bytes so far, of all members. */
  position: number;
  /** Inflated bytes and checksum of this member. */
  memberBytes: number;
  crc: number;
  ended: boolean;
}

export const startGzip = (step = STEP): GzipCursor => ({
  input: 0,
  state: undefined,
  out: new Uint8Array(WINDOW + step + OUTPUT_MARGIN),
  end: WINDOW,
  position: 0,
  memberBytes: 0,
  crc: 0,
  ended: false,
});

/** What a cursor must remember to come back: a copy of all but the latest step. */
export const saveCursor = (cursor: GzipCursor): GzipCursor => ({
  ...cursor,
  state: cursor.state && { ...cursor.state },
  out: cursor.out.slice(cursor.end - WINDOW, cursor.end),
  end: WINDOW,
});

/** Brings a cursor back to a saved place. */
export const restoreCursor = (cursor: GzipCursor, saved: GzipCursor): void => {
  cursor.out.set(saved.out);
  Object.assign(cursor, { ...saved, state: saved.state && { ...saved.state }, out: cursor.out });
};

const damaged = (name: string, fault: string): LinewashError =>
  formatError(name, `the gzip data are damaged: ${fault}`, 'copy the file again, or uncompress it by hand');

/**
 * Inflates the next step; sets `ended` after the last member. Checks each member's length and CRC-32.
 * @throws LinewashError 'format' where the data are damaged or end early.
 */
export const advanceGzip = async (source: ByteSource, cursor: GzipCursor): Promise<void> => {
  cursor.out.copyWithin(0, cursor.end - WINDOW, cursor.end);
  cursor.end = WINDOW;
  while (cursor.end === WINDOW && !cursor.ended) {
    if (cursor.state === undefined && !(await openMember(source, cursor))) return;
    await inflateStep(source, cursor);
    if (cursor.state?.mode === 'done') await closeMember(source, cursor);
  }
};

const inflateStep = async (source: ByteSource, cursor: GzipCursor): Promise<void> => {
  const state = cursor.state!;
  state.at = cursor.end;
  while (state.mode !== 'done' && cursor.out.length - state.at >= OUTPUT_MARGIN) {
    const length = Math.min(INPUT_STEP, source.size - cursor.input);
    const final = cursor.input + length === source.size;
    const input = await source.read(cursor.input, length);
    state.from = 0;
    const fault = fastInflate(state, input, final, cursor.out);
    if (fault !== 'ok') throw damaged(source.name, fault);
    cursor.input += state.from;
  }
  const fresh = cursor.out.subarray(cursor.end, state.at);
  // Nothing before a member's first byte may be referred to, but the window may hold the previous member's end:
  // such a file is damaged, and its checksum says so.
  cursor.crc = fastCrc32(fresh, cursor.crc);
  cursor.memberBytes += fresh.length;
  cursor.position += fresh.length;
  cursor.end = state.at;
};

/** Reads a member's header; false at the end of the file or where something else follows the last member. */
const openMember = async (source: ByteSource, cursor: GzipCursor): Promise<boolean> => {
  const length = Math.min(INPUT_STEP, source.size - cursor.input);
  const header = await source.read(cursor.input, length);
  if (cursor.input > 0 && !(header[0] === 0x1f && header[1] === 0x8b)) {
    cursor.ended = true;
    return false;
  }
  const bytes = memberHeaderBytes(header);
  if (bytes === undefined) throw damaged(source.name, 'the header of a member is cut or of an unknown kind');
  cursor.input += bytes;
  cursor.state = startInflate();
  cursor.memberBytes = 0;
  cursor.crc = 0;
  return true;
};

/** Length of a member's header with its optional fields; undefined where it does not end within `bytes`. */
export const memberHeaderBytes = (bytes: Uint8Array): number | undefined => {
  if (bytes.length < 18 || bytes[2] !== 8) return undefined;
  const flags = bytes[3]!;
  let at = 10;
  if (flags & 4) at += 2 + bytes[at]! + 256 * bytes[at + 1]!;
  for (const flag of [8, 16]) {
    if (!(flags & flag)) continue;
    const zero = bytes.indexOf(0, at);
    if (zero < 0) return undefined;
    at = zero + 1;
  }
  if (flags & 2) at += 2;
  return at <= bytes.length ? at : undefined;
};

const closeMember = async (source: ByteSource, cursor: GzipCursor): Promise<void> => {
  const trailer = cursor.input - (cursor.state!.bitCount >> 3);
  if (trailer + 8 > source.size) throw damaged(source.name, 'it ends early');
  const bytes = new Uint8Array(await source.read(trailer, 8));
  const [crc, size] = new Uint32Array(bytes.buffer);
  if (crc !== cursor.crc || size !== cursor.memberBytes >>> 0) throw damaged(source.name, 'the checksum does not fit');
  cursor.input = trailer + 8;
  cursor.state = undefined;
};

/** DEFLATE cannot pack more bytes than this into one. */
export const MAX_RATIO = 1032;
