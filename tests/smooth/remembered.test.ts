import { describe, expect, it } from 'vitest';
import { planeSource } from '../../lib/plane/memory-plane.ts';
import type { PlaneSource } from '../../lib/plane/plane.ts';
import type { Smoothing } from '../../lib/smooth/noise-model.ts';
import { rememberingSmoother } from '../../lib/smooth/remembered.ts';
import { smoothedMembers } from '../../lib/smooth/smoothed-lines.ts';
import { field, NOISE } from './fields.ts';

const [WIDTH, HEIGHT] = [90, 500];

/** Three lines, and how often rows of the guide were asked for. */
const lines = () => {
  const read = { guide: 0 };
  const members = field(WIDTH, HEIGHT, 31, true).map((data, k): PlaneSource => {
    const source = planeSource(`line ${k}`, { width: WIDTH, height: HEIGHT, data });
    if (k !== 1) return source;
    return {
      ...source,
      readRows(y, rows, into) {
        read.guide++;
        return source.readRows(y, rows, into);
      },
    };
  });
  return { members, read };
};

const at = (strength: number, scales = 3): Smoothing => ({ strength, scales, noise: NOISE, guide: 1, lines: [0, 2] });

const valuesOf = async (sources: readonly PlaneSource[], rows: number): Promise<Float32Array[]> => {
  const all = [];
  for (const source of sources) {
    const data = new Float32Array(WIDTH * HEIGHT);
    for (let y = 0; y < HEIGHT; y += rows) {
      const count = Math.min(rows, HEIGHT - y);
      await source.readRows(y, count, data.subarray(y * WIDTH, (y + count) * WIDTH));
    }
    all.push(data);
  }
  return all;
};

describe('smoothing that remembers', () => {
  it('gives the values of smoothing anew, whatever the strength and the rows', async () => {
    const { members } = lines();
    const smoother = rememberingSmoother()('these');
    for (const [strength, rows] of [
      [0.8, 500],
      [0.3, 37],
      [1, 211],
    ] as const)
      expect(await valuesOf(smoother(members, at(strength)), rows)).toEqual(
        await valuesOf(smoothedMembers(members, at(strength)), 500),
      );
  });

  it('looks at the guide once for all strengths, and anew for other pixels or scales', async () => {
    const { members, read } = lines();
    const remember = rememberingSmoother();
    const ask = async (key: string, smoothing: Smoothing) => {
      read.guide = 0;
      const [first, , third] = remember(key)(members, smoothing);
      await valuesOf([first!, third!], 100);
      return read.guide;
    };
    expect(await ask('a', at(0.8))).toBeGreaterThan(0);
    expect(await ask('a', at(0.2))).toBe(0);
    expect(await ask('b', at(0.2))).toBeGreaterThan(0);
    expect(await ask('a', at(0.2, 2))).toBeGreaterThan(0);
    expect(await ask('b', at(0.9))).toBe(0);
  });

  it('forgets what was not used for longest, and never keeps what is too large', async () => {
    const { members, read } = lines();
    const values = 2 * WIDTH * HEIGHT;
    const ask = async (remember: ReturnType<typeof rememberingSmoother>, key: string) => {
      read.guide = 0;
      await valuesOf(remember(key)(members, at(0.5)).slice(0, 1), HEIGHT);
      return read.guide > 0;
    };
    const two = rememberingSmoother(2 * values);
    const anew = [];
    for (const key of ['a', 'b', 'a', 'c', 'a', 'b']) anew.push(await ask(two, key));
    expect(anew).toEqual([true, true, false, true, false, true]);
    const none = rememberingSmoother(values - 1);
    expect([await ask(none, 'a'), await ask(none, 'a')]).toEqual([true, true]);
  });
});
