import { setFlagsFromString } from 'node:v8';
import { runInNewContext } from 'node:vm';
import { describe, expect, it } from 'vitest';
import { writeMono } from '../../lib/formats/fits/write.ts';
import { catalogueRecipe } from '../../lib/index.ts';
import { memorySink } from '../../lib/parts/index.ts';
import { createService } from '../../lib/web/service.ts';
import type { CallContext } from '../../lib/web/wire/rpc.ts';

setFlagsFromString('--expose-gc');
const collect = runInNewContext('gc') as () => void;

const SIZE = { width: 1300, height: 900 };
const context: CallContext = { signal: new AbortController().signal, progress: () => {} };
const recipe = catalogueRecipe('hoo');

const master = async (seed: number): Promise<Blob> => {
  const sink = memorySink();
  const writer = writeMono(sink, { ...SIZE, type: 'f32', cards: [] });
  let state = seed;
  await writer.writeRows(
    Float32Array.from({ length: SIZE.width * SIZE.height }, (_, i) => {
      state = (Math.imul(state, 1664525) + 1013904223) >>> 0;
      return 100 + (i % SIZE.width) / 9 + state / 2 ** 29;
    }),
  );
  await writer.finish();
  return new Blob([sink.bytes()]);
};

/** MiB of buffers that something still holds: what a collection frees is given back some time after it. */
const heldBuffers = async (): Promise<number> => {
  let held = Number.POSITIVE_INFINITY;
  for (let round = 0; round < 8; round++) {
    await new Promise((resolve) => setTimeout(resolve, 25));
    collect();
    held = Math.min(held, process.memoryUsage().arrayBuffers / 2 ** 20);
  }
  return held;
};

describe('masters that were replaced', () => {
  it('leave nothing of their pixels in the memory of the worker', async () => {
    const service = createService();
    const files: WeakRef<Blob>[] = [];
    const buffers: number[] = [];
    for (let round = 0; round < 3; round++) {
      const lines = { H: `h${round}`, O: `o${round}` };
      for (const id of Object.values(lines)) {
        const from = await master(round + id.charCodeAt(0));
        files.push(new WeakRef(from));
        await service.open({ id, name: id, from });
      }
      await service.measure({ lines, zeros: 'undefined' }, context);
      await service.preview({ lines, recipe, longest: 1600 }, context);
      await service.preview({ lines, recipe, longest: 480 }, context);
      await service.probe({ lines, recipe, x: 9, y: 9, waits: true }, context);
      for (const id of Object.values(lines)) await service.close({ id });
      buffers.push(await heldBuffers());
    }
    // Each pair has 9 MiB of pixels in small copies alone.
    expect(Math.max(...buffers.slice(2)) - buffers[1]!).toBeLessThan(9);
    expect(files.filter((file) => file.deref() !== undefined).length).toBeLessThanOrEqual(2);
  });
});
