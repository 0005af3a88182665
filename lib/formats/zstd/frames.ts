import { damaged } from './damage.ts';
import { type FrameHead, headLength, readHead } from './head.ts';
import { type Literals, MOST_BLOCK, readLiterals } from './literals.ts';
import { freshMemory, type History, type Memory, runSequences } from './sequences.ts';
import type { Stored } from './source.ts';
import { type Sum, xxh64 } from './xxh64.ts';

const FRAME = 0xfd2fb528;
const SKIPPED = 0x184d2a50;
/** The history moves back to its front after so many bytes at least. */
const SLACK = 1 << 20;
/** Readers of bits look at up to five bytes behind the last. */
const PADDING = 8;

interface Frame {
  readonly head: FrameHead;
  readonly memory: Memory;
  readonly sum: Sum | undefined;
  made: number;
  ended: boolean;
}

/** Decoded bytes as they are made, block by block. */
export interface Blocks {
  /** Decoded bytes end at `end`. */
  readonly history: History;
  /** Decodes on until something is added in front of `end`, and says how many bytes; 0 where the stored bytes end. */
  more(): Promise<number>;
}

/** Room for one more block: moves what may be referred to to the front, or grows with what has been decoded. */
const makeRoom = (history: History, window: number): void => {
  const { bytes, end } = history;
  if (end + MOST_BLOCK <= bytes.length) return;
  if (end >= window + Math.max(SLACK, window / 4)) {
    bytes.copyWithin(0, end - window, end);
    history.floor = Math.max(0, history.floor - (end - window));
    history.end = window;
    return;
  }
  history.bytes = new Uint8Array(Math.min(2 * end, window + Math.max(SLACK, window / 4)) + 2 * MOST_BLOCK);
  history.bytes.set(bytes.subarray(0, end));
};

/**
 * Frames of Zstandard one after another (RFC 8878 §3), a block a call. A block takes at most 128 KiB and gives at most as
 * much; blocks and frames that give nothing cost stored bytes. So time is bounded by what is stored and asked for,
 * and memory by what has been decoded and by the window, whatever the heads promise.
 */
export const zstdBlocks = (stored: Stored): Blocks => {
  const history: History = { bytes: new Uint8Array(2 * MOST_BLOCK), floor: 0, end: 0 };
  const block = new Uint8Array(MOST_BLOCK + PADDING);
  const view = new DataView(block.buffer);
  const literals: Literals = { bytes: new Uint8Array(MOST_BLOCK), count: 0, table: undefined };
  let frame: Frame | undefined;

  const need = async (length: number): Promise<void> => {
    if (!(await stored.take(block, length))) damaged('it ends early');
  };

  const skip = async (): Promise<void> => {
    await need(4);
    for (let left = view.getUint32(0, true); left > 0; left -= Math.min(left, MOST_BLOCK))
      await need(Math.min(left, MOST_BLOCK));
  };

  const openFrame = async (): Promise<boolean> => {
    if (!(await stored.take(block, 4))) return false;
    const magic = view.getUint32(0, true);
    if ((magic & ~15) >>> 0 === SKIPPED) {
      await skip();
      return true;
    }
    if (magic !== FRAME) damaged('no frame begins where one should');
    await need(1);
    const descriptor = block[0]!;
    await need(headLength(descriptor));
    const head = readHead(descriptor, block);
    frame = { head, memory: freshMemory(), sum: head.hasSum ? xxh64() : undefined, made: 0, ended: false };
    literals.table = undefined;
    history.floor = history.end;
    return true;
  };

  const closeFrame = async ({ head, sum, made }: Frame): Promise<void> => {
    frame = undefined;
    if (head.size !== undefined && head.size !== made) damaged('a frame of another length than it says');
    if (sum === undefined) return;
    await need(4);
    if (view.getUint32(0, true) !== sum.low()) damaged('its checksum does not match');
  };

  const decodeBlock = async (open: Frame): Promise<void> => {
    await need(3);
    const word = block[0]! | (block[1]! << 8) | (block[2]! << 16);
    const kind = (word >> 1) & 3;
    const size = word >> 3;
    if (kind === 3 || size > MOST_BLOCK) damaged('a block of an unknown form');
    makeRoom(history, open.head.window);
    const from = history.end;
    await need(kind === 1 ? 1 : size);
    if (kind === 0) history.bytes.set(block.subarray(0, size), from);
    else if (kind === 1) history.bytes.fill(block[0]!, from, from + size);
    if (kind < 2) history.end += size;
    else runSequences(block, readLiterals(block, 0, size, literals), size, open.memory, literals, history);
    open.sum?.add(history.bytes.subarray(from, history.end));
    open.made += history.end - from;
    open.ended = (word & 1) !== 0;
    if (open.ended) await closeFrame(open);
  };

  return {
    history,
    async more() {
      for (;;) {
        if (frame === undefined) {
          if (!(await openFrame())) return 0;
          continue;
        }
        const before = frame.made;
        const open: Frame = frame;
        await decodeBlock(open);
        if (open.made > before) return open.made - before;
      }
    },
  };
};
