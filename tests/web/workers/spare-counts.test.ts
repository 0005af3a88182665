import { describe, expect, it } from 'vitest';
import { BINS, type CountRequest, type LowerCounts } from '../../../lib/plane/counting.ts';
import { planeSource } from '../../../lib/plane/memory-plane.ts';
import { countWithNeighbours } from '../../../lib/web/workers/spare-counts.ts';

const request = (): CountRequest => ({
  source: planeSource('a', { width: 1, height: 1, data: Float32Array.of(1) }),
  mask: undefined,
  pedestal: 0,
});

/** Counts that tell which bin they are of, and what was asked for. */
const counting = () => {
  const asked: (readonly number[])[] = [];
  const tableOf = (bin: number): LowerCounts[number] => [
    { bytes: new Uint8Array(0), passed: new Map([[0, bin]]), blocks: new Float64Array(0) },
  ];
  const count = async (bins: readonly number[]): Promise<LowerCounts> => {
    asked.push(bins);
    return bins.map(tableOf);
  };
  return { asked, count };
};
const binsOf = (counts: LowerCounts) => counts.map(([table]) => table!.passed.get(0));

describe('counting bins with their neighbours', () => {
  it('answers what was asked, in its order, and what lies beside it without another reading', async () => {
    const { asked, count } = counting();
    const one = request();
    expect(binsOf(await countWithNeighbours(one, [500, 100], count))).toEqual([500, 100]);
    expect(binsOf(await countWithNeighbours(one, [101, 499, 100], count))).toEqual([101, 499, 100]);
    expect(asked.map((bins) => [...bins].sort((a, b) => a - b))).toEqual([[99, 100, 101, 499, 500, 501]]);
    expect(binsOf(await countWithNeighbours(one, [501, 502], count))).toEqual([501, 502]);
    expect(asked[1]).toContain(502);
    expect(asked[1]).not.toContain(501 - 1);
  });

  it('asks for no bin that does not exist, and for none twice', async () => {
    const { asked, count } = counting();
    expect(binsOf(await countWithNeighbours(request(), [0, 1, BINS - 1], count))).toEqual([0, 1, BINS - 1]);
    expect([...asked[0]!].sort((a, b) => a - b)).toEqual([0, 1, 2, BINS - 2, BINS - 1]);
  });

  it('asks for what is wanted however much that is, and for neighbours only as far as 64 bins', async () => {
    const { asked, count } = counting();
    const every = (n: number) => Array.from({ length: n }, (_, i) => 10 * i + 5);
    await countWithNeighbours(request(), every(40), count);
    expect(asked[0]!.length).toBe(64);
    expect(asked[0]!.slice(0, 40)).toEqual(every(40));
    expect(binsOf(await countWithNeighbours(request(), every(70), count))).toEqual(every(70));
    expect(asked[1]).toEqual(every(70));
  });

  it('knows nothing of one request for another', async () => {
    const { asked, count } = counting();
    for (const one of [request(), request()]) await countWithNeighbours(one, [7], count);
    expect(asked.length).toBe(2);
  });
});
