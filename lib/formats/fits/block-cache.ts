import type { FitsBytes } from './bytes.ts';

const BLOCK = 1 << 18;
const KEPT = 4;

/**
 * Small reads served from a few large blocks, for data scattered over a known range of a file.
 * The result of a read may be a view: use it before the next.
 * @returns a function that reads `length` bytes at `offset`, both within [start, end).
 */
export const blockCache = (bytes: FitsBytes, start: number, end: number) => {
  const blocks = new Map<number, Uint8Array>();
  const load = async (index: number): Promise<Uint8Array> => {
    const kept = blocks.get(index);
    if (kept) return kept;
    const offset = start + index * BLOCK;
    // A copy, as the source may reuse its buffer; `slice` would not copy a Node buffer.
    const block = new Uint8Array(await bytes.read(offset, Math.min(BLOCK, end - offset)));
    for (const oldest of blocks.keys()) {
      if (blocks.size < KEPT) break;
      blocks.delete(oldest);
    }
    blocks.set(index, block);
    return block;
  };
  return async (offset: number, length: number): Promise<Uint8Array> => {
    const first = Math.floor((offset - start) / BLOCK);
    const last = Math.floor((offset + length - 1 - start) / BLOCK);
    if (last > first + 1) return bytes.read(offset, length);
    const from = offset - start - first * BLOCK;
    const block = await load(first);
    if (last <= first) return block.subarray(from, from + length);
    const head = block.subarray(from);
    const joined = new Uint8Array(length);
    joined.set(head);
    joined.set((await load(last)).subarray(0, length - head.length), head.length);
    return joined;
  };
};
