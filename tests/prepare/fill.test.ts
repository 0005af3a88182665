import { describe, expect, it } from 'vitest';
import { planeSource } from '../../lib/plane/memory-plane.ts';
import { filled } from '../../lib/prepare/fill.ts';
import { diceFor } from '../parity/draws/dice.ts';
import { drawSpots } from '../parity/draws/draw-spots.ts';
import { fillSpots } from '../parity/draws/fill-spots.ts';

type Places = [x: number, y: number][];
const inOrder = (places: Places) => [...places].sort(([ax, ay], [bx, by]) => ay - by || ax - bx);
const frame = (rows: readonly (readonly number[])[]) => ({
  width: rows[0]!.length,
  height: rows.length,
  data: Float32Array.from(rows.flat()),
});
const read = async ({ width, height, data }: ReturnType<typeof frame>, at: Places, y = 0, rows = height) => {
  const into = new Float32Array(rows * width);
  await filled(planeSource('a', { width, height, data }), { width, height, at: inOrder(at) }).readRows(y, rows, into);
  return into;
};

describe('a filled spot', () => {
  // The ring is 1 … 16: its median is 8.5, its MAD 4, and 8.5 + 3 · 1.4826 · 4 = 26.3.
  const plain = () => [
    [1, 2, 3, 4, 5],
    [6, 26, 27, 10, 7],
    [8, 10, 99, 10, 9],
    [10, 10, 10, 10, 11],
    [12, 13, 14, 15, 16],
  ];

  it('takes the median of its ring, and with it the neighbours that stand out', async () => {
    const out = await read(frame(plain()), [[2, 2]]);
    expect([out[12], out[6], out[7]]).toEqual([8.5, 26, 8.5]);
    expect(out.filter((v, i) => v !== plain().flat()[i]).length).toBe(2);
  });

  it('leaves what has no data, infinite values too', async () => {
    const rows = plain();
    rows[1]![2] = Number.POSITIVE_INFINITY;
    rows[1]![1] = Number.NaN;
    const out = await read(frame(rows), [[2, 2]]);
    expect([out[12], out[7], out[6]]).toEqual([8.5, Number.POSITIVE_INFINITY, Number.NaN]);
  });

  it('at one edge has no say at the other', async () => {
    // The pixel left of the second spot's would be the last one of the row above it.
    const rows = [
      [1, 1, 1, 1, 1, 1, 1, 1],
      [1, 1, 1, 1, 1, 1, 1, 5],
      [1, 1, 1, 1, 1, 1, 1, 1],
    ].map((row, y) => row.map((v, x) => (x > 4 ? 10 * y + x : v)));
    const alone = await read(frame(rows), [[5, 1]]);
    const both = await read(frame(rows), [
      [5, 1],
      [0, 1],
    ]);
    expect(both.slice(3)).toEqual(alone.slice(3));
  });
});

it('is what a second writing of the rule gives, in bands of any height', async () => {
  let changed = 0;
  for (let seed = 1; seed <= 60; seed++) {
    const dice = diceFor(seed);
    const [width, height] = [dice.whole(1, 30), dice.whole(1, 24)];
    const level = () =>
      dice.chance(0.1) ? Number.NaN : Math.fround(100 + 10 * dice.normal() + (dice.chance(0.1) ? 90 : 0));
    const data = Float32Array.from({ length: width * height }, level);
    const { O: at = [] } = drawSpots(dice, ['O'], width, height).spots as { O?: Places };
    const wanted = fillSpots({ width, height, values: Float64Array.from(data) }, at, Math.fround);
    expect(await read({ width, height, data }, at), `seed ${seed}`).toEqual(Float32Array.from(wanted));
    const y = dice.whole(0, height - 1);
    const rows = dice.whole(1, height - y);
    const part = await read({ width, height, data }, at, y, rows);
    expect(part, `rows of seed ${seed}`).toEqual(Float32Array.from(wanted.slice(y * width, (y + rows) * width)));
    changed += Number(wanted.some((v, i) => v !== data[i] && !Number.isNaN(v)));
  }
  expect(changed).toBeGreaterThan(20);
});
