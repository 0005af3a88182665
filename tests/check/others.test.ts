import { expect, it } from 'vitest';
import type { Defect, DefectKind } from '../../lib/check/defects.ts';
import { findDefects } from '../../lib/check/find-defects.ts';
import { howSure, whatOf, whereOf } from '../../lib/check/words.ts';
import type { Executor } from '../../lib/plane/executor.ts';
import { pieceWorkerOf } from '../../lib/work/piece-workers.ts';
import { cleanPlanes, drawsOf, linesOf, NOISE, plantSeam, SIZE } from './planted.ts';

const only = (defects: readonly Defect[], kind: DefectKind) => defects.filter((defect) => defect.kind === kind);
const distance = (a: readonly [number, number], b: readonly [number, number]) => Math.hypot(a[0] - b[0], a[1] - b[1]);

/** Columns, a row, a seam and hot pixels, each in a line of its own. */
const flawed = (seed: number) => {
  const draw = drawsOf(seed);
  const planes = cleanPlanes(seed);
  const whole = (a: number, b: number) => Math.floor(draw(a, b));
  const [bright, dark, row] = [whole(20, 200), whole(230, 460), whole(20, 340)];
  for (let y = 0; y < SIZE.height; y++) {
    planes.H[y * SIZE.width + bright]! += NOISE;
    planes.H[y * SIZE.width + dark]! -= NOISE;
  }
  for (let x = 0; x < SIZE.width; x++) planes.O[row * SIZE.width + x]! += NOISE;
  const seam = { top: draw(120, 200), bottom: draw(220, 300) };
  plantSeam(planes.S, seed, seam.top, seam.bottom, 1.4);
  const hot = Array.from({ length: 12 }, (_, i) => [25 + 37 * i, whole(20, 340)] as const);
  for (const [x, y] of hot) planes.O[y * SIZE.width + x]! += 100 * NOISE;
  return { planes, bright, dark, row, seam, hot };
};

/** Does pieces with two workers, the last first. */
const backwards = {
  async pieces({ kind, sources, question, pieces }: Parameters<NonNullable<Executor['pieces']>>[0]) {
    const create = await pieceWorkerOf(kind);
    const workers = [0, 1].map(() => create(sources, structuredClone(question)));
    const answers: Float32Array<ArrayBuffer>[] = [];
    for (let piece = pieces - 1; piece >= 0; piece--) answers[piece] = await workers[piece % 2]!(piece);
    return answers;
  },
} as unknown as Executor;

it('columns, rows, seams and spots are found in the right line, however work is shared', async () => {
  const { planes, bright, dark, row, seam, hot } = flawed(8101);
  const found = await findDefects(linesOf(planes));
  expect(await findDefects(linesOf(planes), { executor: backwards })).toEqual(found);
  const columns = only(found, 'column').map(({ channel, from, sign }) => ({ channel, x: from[0], sign }));
  expect(columns).toEqual([
    { channel: 'H', x: bright, sign: 1 },
    { channel: 'H', x: dark, sign: -1 },
  ]);
  for (const { depth } of only(found, 'column')) expect(depth! / NOISE).toBeCloseTo(1, 0);
  expect(only(found, 'row').map(({ channel, from }) => [channel, from[1]])).toEqual([['O', row]]);
  const seams = only(found, 'seam');
  expect(seams.map(({ channel }) => channel)).toEqual(['S']);
  expect(seams[0]!.noiseRatio).toBeGreaterThan(1.2);
  expect(seams[0]!.noiseRatio).toBeLessThan(1.6);
  const ends = [seams[0]!.from, seams[0]!.to].sort((a, b) => a[1] - b[1]);
  expect(Math.abs(ends[0]![0] - seam.top)).toBeLessThan(32);
  expect(Math.abs(ends[1]![0] - seam.bottom)).toBeLessThan(32);
  const [spots, ...none] = only(found, 'spots');
  expect(none).toEqual([]);
  expect(spots!.channel).toBe('O');
  const seen = hot.filter((place) => spots!.places!.some((at) => distance(at, place) < 2));
  expect(seen.length).toBeGreaterThanOrEqual(11);
  expect(spots!.count).toBe(seen.length);
});

it('nothing is found in clean frames', async () => {
  expect(await findDefects(linesOf(cleanPlanes(8201)))).toEqual([]);
});

it('frames without data at their border, of one line, and too small ones are no trouble', async () => {
  const planes = cleanPlanes(8401);
  plantSeam(planes.S, 8401, 180, 260, 1.6);
  for (const plane of Object.values(planes))
    for (let i = 0; i < plane.length; i++) if (i % SIZE.width < 40) plane[i] = Number.NaN;
  const found = await findDefects(linesOf(planes).slice(0, 1));
  expect(only(found, 'seam').map(({ channel }) => channel)).toEqual(['S']);
  const small = linesOf(planes).map(({ name, source }) => ({ name, source: { ...source, width: 40, height: 40 } }));
  expect(await findDefects(small)).toEqual([]);
});

it('a defect has words', () => {
  const trail: Defect = {
    kind: 'trail',
    channel: 'O',
    from: [3.4, 8.6],
    to: [100, 50.2],
    angle: 23.456,
    width: 4.321,
    depth: 12.34,
    score: 17.89,
    sign: -1,
    certainty: 'sure',
  };
  expect(whatOf(trail)).toBe('dark trail, 4.32 px wide, 12.3 counts');
  expect(whereOf(trail)).toBe('from 3,9 to 100,50, 23.5°');
  expect(howSure(trail)).toBe('sure (score 17.9)');
});
