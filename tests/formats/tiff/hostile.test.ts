import { readdirSync, readFileSync } from 'node:fs';
import { describe, expect, it } from 'vitest';
import { openTiff } from '../../../lib/formats/tiff/open.ts';
import { memorySource } from '../../../lib/plane/bytes.ts';
import { LinewashError } from '../../../lib/plane/errors.ts';
import { mutate, seededRandom } from '../../fuzz/mutate.ts';
import { tiffTargets } from '../../fuzz/tiff.ts';
import { firstDifference, readWhole } from './reading.ts';

const FOLDER = new URL('./fixtures/', import.meta.url).pathname;
const files = readdirSync(FOLDER).filter((name) => name.endsWith('.tif'));

/** Mutated inputs a target: 16,800 in all. */
const ROUNDS: Readonly<Record<string, number>> = { 'TIFF directory': 5000, 'TIFF file': 5000, 'deflate strip': 800 };
const OTHERS = 1500;

describe('mutated bytes', () => {
  it.each(tiffTargets.map((target) => [target.name, target] as const))(
    '%s: only errors of ours come out',
    async (name, target) => {
      const random = seededRandom(20250101);
      for (let i = 0; i < (ROUNDS[name] ?? OTHERS); i++) {
        const seed = target.seeds[i % target.seeds.length]!;
        const bytes = mutate(seed, random);
        await target.run(bytes).catch((error: unknown) => {
          throw new Error(`round ${i}, seed ${i % target.seeds.length}: ${Buffer.from(bytes).toString('base64')}`, {
            cause: error,
          });
        });
      }
    },
  );
});

describe('every length of every kept file', () => {
  it.each(files)('%s: the right picture or a clean error', async (name) => {
    const bytes = new Uint8Array(readFileSync(`${FOLDER}${name}`));
    const select = name.startsWith('planar') || name.startsWith('chunky') ? { plane: 0 } : {};
    const read = async (part: Uint8Array) => readWhole(await openTiff(memorySource(name, part), select));
    const whole = await read(bytes);
    // A file of two pages that ends after the first one's pixels is a file of one page only if its chain says so.
    for (let length = 0; length < bytes.length; length += length < 600 || bytes.length - length < 200 ? 1 : 7) {
      const found = await read(bytes.subarray(0, length)).catch((error: unknown) => error);
      if (found instanceof Float64Array) expect(firstDifference(found, whole), `${length} bytes`).toBe('');
      else expect(found, `${length} bytes`).toBeInstanceOf(LinewashError);
    }
  });
});
