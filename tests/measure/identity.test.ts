import { describe, expect, it } from 'vitest';
import { copyFaults, isSamePicture } from '../../lib/measure/identity.ts';
import { fitTogether } from '../../lib/measure/together.ts';
import { planeSource } from '../../lib/plane/memory-plane.ts';
import type { PlaneSource } from '../../lib/plane/plane.ts';
import { sceneTruth } from '../../samples/scene/index.ts';
import { inTurn } from '../cases.ts';
import { sourceOf } from './registration/scene.ts';

const truth = sceneTruth({ width: 300, height: 200 });

const changed = (source: PlaneSource, change: (v: number) => number): PlaneSource => ({
  ...source,
  async readRows(y, rows, into) {
    await source.readRows(y, rows, into);
    for (let i = 0; i < rows * source.width; i++) into[i] = change(into[i]!);
  },
});

describe('copies of one master', () => {
  const H = sourceOf(truth.H);

  it.each([
    ['itself', (v: number) => v],
    ['other units', (v: number) => v / 65535 - 0.01],
    ['a stretch', (v: number) => Math.asinh(v / 100)],
  ])('are found through %s', async (_, change) => {
    expect(await isSamePicture(H, changed(H, change))).toBe(true);
  });

  it('are not other lines, nor another night of the same line', async () => {
    expect(await isSamePicture(H, sourceOf(truth.O))).toBe(false);
    expect(await isSamePicture(H, sourceOf(truth.H, 2))).toBe(false);
  });

  it('are not two flat or two empty pictures, nor pictures of two sizes', async () => {
    const filled = (value: number) =>
      planeSource('flat', { width: 300, height: 200, data: new Float32Array(60_000).fill(value) });
    expect(await isSamePicture(filled(1), filled(1))).toBe(false);
    expect(await isSamePicture(filled(Number.NaN), filled(Number.NaN))).toBe(false);
    expect(await isSamePicture(H, planeSource('small', { width: 3, height: 2, data: new Float32Array(6) }))).toBe(
      false,
    );
  });

  it('are named pair by pair', async () => {
    const channels = [
      { name: 'S', source: { ...H, file: 's.fits' } },
      { name: 'H', source: { ...H, file: 'h.fits' } },
      { name: 'O', source: sourceOf(truth.O) },
    ];
    expect(await copyFaults(channels)).toEqual([
      {
        name: 'H',
        of: 'S',
        words: 'h.fits: H holds the same picture as S (s.fits); give each line its own master',
      },
    ]);
  });
});

describe('fitting together', () => {
  it.skipIf(!inTurn('against H'))('registers against H and says what is off', async () => {
    const moved = sceneTruth({ width: 600, height: 400, misfit: { O: { dx: 3.25, dy: -1.5 } } });
    const channels = (['S', 'H', 'O'] as const).map((name) => ({ name, source: sourceOf(moved[name]) }));
    const { registration, warnings } = await fitTogether(channels);
    expect(registration.map(({ channel, reference }) => [channel, reference])).toEqual([
      ['S', 'H'],
      ['O', 'H'],
    ]);
    expect(warnings).toEqual([expect.stringMatching(/O lies 3\.[23] px right and 1\.5 px up of H\. Register/)]);
  });

  it('tells copies and filters that were given for another line, each as what it is', async () => {
    const { H, O } = truth;
    const as = (source: PlaneSource, file: string, filter: string): PlaneSource => ({
      ...source,
      file,
      facts: { filter, from: {}, cards: [] },
    });
    const channels = [
      { name: 'S', source: as(sourceOf(H), 's.fits', 'S II') },
      { name: 'H', source: as(sourceOf(H), 'h.fits', 'H-alpha') },
      { name: 'O', source: as(sourceOf(O), 'o.fits', 'N II') },
    ];
    const { misfits, warnings } = await fitTogether(channels);
    expect(misfits).toEqual([
      { kind: 'filter', name: 'O', found: 'N', words: expect.stringContaining('o.fits') },
      { kind: 'copy', name: 'H', of: 'S', words: expect.stringContaining('h.fits') },
    ]);
    expect(warnings).toEqual(misfits.map(({ words }) => words));
  });

  it('can be stopped', async () => {
    const channels = (['S', 'H'] as const).map((name) => ({ name, source: sourceOf(truth[name]) }));
    const stopped = fitTogether(channels, { signal: AbortSignal.abort() });
    await expect(stopped).rejects.toMatchObject({ tag: 'cancelled' });
  });

  it('has nothing to say of one master', async () => {
    expect(await fitTogether([{ name: 'H', source: sourceOf(truth.H) }])).toEqual({
      registration: [],
      misfits: [],
      warnings: [],
    });
  });
});
