import type { ByteSink } from '../../plane/bytes.ts';

/** A sink that collects into a Blob; `blob()` is the result after `close`. */
export interface BlobSink extends ByteSink {
  blob(): Blob;
}

/**
 * Collects written pieces and joins them at the end. Pieces may come in any order; together they must fill the file
 * without gap or overlap, which is what picture writers do.
 * @throws RangeError on `close` where they do not: a defect of the writer.
 */
export const blobSink = (type: string): BlobSink => {
  let pieces: { offset: number; part: Blob; size: number }[] = [];
  let result = new Blob();
  return {
    async writeAt(offset, bytes) {
      // A Blob at once: the browser may keep it outside the memory of the page, and the bytes may be reused.
      pieces.push({ offset, part: new Blob([bytes as Uint8Array<ArrayBuffer>]), size: bytes.length });
    },
    async close() {
      let end = 0;
      for (const { offset, size } of pieces.sort((a, b) => a.offset - b.offset)) {
        if (offset !== end) throw new RangeError(`bytes ${end} to ${offset} were written twice or never`);
        end += size;
      }
      result = new Blob(
        pieces.map(({ part }) => part),
        { type },
      );
      pieces = [];
    },
    async abort() {
      pieces = [];
    },
    blob: () => result,
  };
};
