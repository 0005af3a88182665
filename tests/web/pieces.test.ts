import { describe, expect, it } from 'vitest';
import { writeMono } from '../../lib/formats/fits/write.ts';
import { memorySink } from '../../lib/plane/bytes.ts';
import { planeSource } from '../../lib/plane/memory-plane.ts';
import { PIECE_ROWS } from '../../lib/stars/find/detect.ts';
import { createStarWorker } from '../../lib/stars/find/star-pieces.ts';
import { createPool } from '../../lib/web/workers/pool.ts';
import { randomList, starryLines } from '../stars/starry-fields.ts';

const SIZE = { width: 150, height: 2 * PIECE_ROWS + 20 };

describe('work in pieces', () => {
  it('gives what one thread finds, where no worker can be started', async () => {
    const list = randomList(81, { ...SIZE, count: 80 });
    const lines = starryLines(list, 81, SIZE);
    const blobs = await Promise.all(lines.map(fits));
    const question = { fwhm: 3, noise: [3, 3, 3], full: [undefined, undefined, undefined], radius: 5 };
    const alone = createStarWorker(
      lines.map((data, k) => planeSource(`${k}`, { ...SIZE, data })),
      question,
    );
    const pool = createPool(() => {
      throw new Error('no worker here');
    }, 2);
    const origins = blobs.map((at, k) => ({
      step: 'file' as const,
      picture: { file: `${k}.fits`, at, selector: {} },
      rows: undefined,
    }));
    const shared = pool.pieces({ id: 'stars', kind: 'stars', origins, question });
    const pieces = [0, 1, 2];
    const found = await Promise.all(pieces.map((piece) => shared.make(piece, {})));
    for (const piece of pieces) expect(found[piece]).toEqual(await alone(piece));
    expect(found.reduce((sum, { length }) => sum + length, 0)).toBeGreaterThan(1000);
    shared.close();
  });
});

const fits = async (data: Float32Array): Promise<Blob> => {
  const sink = memorySink();
  const writer = writeMono(sink, { ...SIZE, type: 'f32', cards: [] });
  await writer.writeRows(data);
  await writer.finish();
  await sink.close();
  return new Blob([sink.bytes()]);
};
