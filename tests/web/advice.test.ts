import { openAsBlob } from 'node:fs';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { writeMono } from '../../lib/formats/fits/write.ts';
import { closeMasters, openMasters } from '../../lib/node/masters/masters.ts';
import { suggestFiles } from '../../lib/node/suggest-files.ts';
import { memorySink } from '../../lib/parts/index.ts';
import { createService } from '../../lib/web/service.ts';
import type { CallContext } from '../../lib/web/wire/rpc.ts';
import { inTurn } from '../cases.ts';

const sample = (line: string) => new URL(`../../samples/masters/emberwing-${line}.fits`, import.meta.url).pathname;
const inputs = { S: sample('S'), H: sample('H'), O: sample('O') };
const context: CallContext = { signal: new AbortController().signal, progress: () => {} };

/** The sample of a line, its pixels moved right and down by whole pixels, without a filter in its header. */
const moved = async (line: 'S' | 'H' | 'O', dx: number, dy: number): Promise<Blob> => {
  const masters = await openMasters({ [line]: inputs[line] });
  const { source } = masters[0]!;
  const { width, height } = source;
  const before = new Float32Array(width * height);
  await source.readRows(0, height, before);
  await closeMasters(masters);
  const sink = memorySink();
  const writer = writeMono(sink, { width, height, type: 'f32', cards: [] });
  await writer.writeRows(
    before.map((_, i) => {
      const [x, y] = [(i % width) - dx, Math.floor(i / width) - dy];
      return before[Math.min(height - 1, Math.max(0, y)) * width + Math.min(width - 1, Math.max(0, x))]!;
    }),
  );
  await writer.finish();
  return new Blob([sink.bytes()]);
};

describe('what the worker advises', () => {
  const service = createService();
  beforeAll(async () => {
    for (const [line, path] of Object.entries(inputs))
      await service.open({ id: line, name: `emberwing-${line}.fits`, from: await openAsBlob(path) });
    await service.open({ id: 'moved', name: 'moved.fits', from: await moved('O', 3, -2) });
    await service.open({ id: 'copy', name: 'copy.fits', from: await openAsBlob(inputs.H) });
  });
  afterAll(() => service.close({ id: 'moved' }));

  it.skipIf(!inTurn('mixes that'))('suggests the mixes that the command line suggests', async () => {
    const found = await service.suggest({ lines: { S: 'S', H: 'H', O: 'O' } }, context);
    const { warnings: _, ...files } = await suggestFiles({ inputs });
    expect(found.suggestions.map(({ id }) => id)).toEqual(files.suggestions.map(({ id }) => id));
    // The small copies may be made on another way: weights agree to what a recipe writes.
    for (const [i, { matrix }] of found.suggestions.entries())
      for (const [r, row] of matrix.entries())
        for (const [c, weight] of row.entries()) expect(weight).toBeCloseTo(files.suggestions[i]!.matrix[r]![c]!, 2);
  });

  it.skipIf(!inTurn('two lines'))('needs two lines to suggest anything', async () => {
    await expect(service.suggest({ lines: { H: 'H' } }, context)).rejects.toMatchObject({ tag: 'input' });
  });

  it.skipIf(!inTurn('nothing against'))('has nothing against masters that fit', async () => {
    expect((await service.fit({ lines: { S: 'S', H: 'H', O: 'O' } }, context)).warnings).toEqual([]);
  });

  it.skipIf(!inTurn('master lies'))('says where a master lies beside the others, and what would help', async () => {
    const { warnings } = await service.fit({ lines: { H: 'H', O: 'moved' } }, context);
    expect(warnings).toHaveLength(1);
    expect(warnings[0]).toMatch(/^moved\.fits.*: O lies [23]\.\d px right and [12]\.\d px up of H/);
    expect(warnings[0]).toContain('Register the masters again');
  });

  it.skipIf(!inTurn('one picture'))('recognises one picture given for two lines, and swapped filters', async () => {
    const copies = await service.fit({ lines: { H: 'H', O: 'copy' } }, context);
    expect(copies.warnings.some((w) => w.includes('the same picture as H'))).toBe(true);
    const swapped = await service.fit({ lines: { H: 'O', O: 'H' } }, context);
    expect(swapped.warnings.some((w) => w.includes('look swapped'))).toBe(true);
  });
});
