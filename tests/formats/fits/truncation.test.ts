import { rmSync } from 'node:fs';
import { afterAll, describe, expect, it } from 'vitest';
import { LinewashError } from '../../../lib/plane/errors.ts';
import { someOf } from '../../cases.ts';
import { expectedValues, firstDifference, openExpected, readAll, readBytes } from './expected.ts';
import { smallManifest, unpackSmall } from './small.ts';

const folder = unpackSmall();
afterAll(() => rmSync(folder, { recursive: true }));

/** Every length where the bytes decide; of the padding at the end of long headers a sample. */
const lengthsOf = (bytes: Uint8Array): number[] =>
  Array.from({ length: bytes.length }, (_, length) => length).filter(
    (length) => length % 80 < 2 || bytes.length - length < 600 || (bytes[length] !== 0x20 && bytes[length] !== 0),
  );

describe('every truncation is refused, or nothing that counts is missing', () => {
  it.each(someOf(smallManifest, 12).map((row) => [row.values, row] as const))('%s', async (_, row) => {
    const bytes = readBytes(folder, row.file);
    const wanted = expectedValues(folder, row);
    for (const length of lengthsOf(bytes)) {
      try {
        const plane = await openExpected(folder, row, bytes.slice(0, length));
        if (firstDifference(await readAll(plane), wanted) !== -1) throw new Error(`wrong pixels at length ${length}`);
      } catch (error) {
        if (!(error instanceof LinewashError)) throw error;
        expect(error.tag).toBe('format');
      }
    }
  });
});
