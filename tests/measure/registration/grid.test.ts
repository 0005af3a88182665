import { existsSync } from 'node:fs';
import { describe, expect, it } from 'vitest';
import { compose, rotationOf, scaleOf, similarity } from '../../../lib/measure/registration/similarity.ts';
import { doubtOf } from '../../../lib/measure/registration/words.ts';
import type { Plane } from '../../../lib/plane/plane.ts';
import { random } from '../../../samples/scene/random.ts';
import { errorOf, planeOf, registerPlanes } from './planes.ts';
import { crop, moved, noiseOf, noisy, type Planted } from './planted.ts';

// LINEWASH_GRID=SEED npm run test:unit -- tests/measure/registration/grid: hundreds of draws, some minutes.
const DATA = '../shared/data';
const seed = Number(process.env.LINEWASH_GRID ?? Number.NaN);
const here = Number.isFinite(seed) && existsSync(DATA);

const SAMPLE = 'samples/masters/emberwing';
/**
 * How a pair lies before anything is planted: on one another by construction, as filters of one cube and drawn scenes
 * do, or as exposures do, whose own small offset is measured first and is part of the truth.
 */
type Before = 'aligned' | 'exposed';
const PAIRS: readonly (readonly [reference: string, channel: string, count: number, before: Before])[] = [
  [`${DATA}/m42/m42_ha_256_f32`, `${DATA}/m42/m42_sii_256_f32`, 40, 'aligned'],
  [`${DATA}/m42/m42_ha_256_f32`, `${DATA}/m42/m42_oiii_256_f32`, 40, 'aligned'],
  [`${DATA}/m42/m42_mixed_ha_590x584_f32`, `${DATA}/m42/m42_mixed_sii_590x584_f32`, 40, 'exposed'],
  [`${DATA}/ou5/ou5_ha`, `${DATA}/ou5/ou5_oiii`, 40, 'exposed'],
  [`${DATA}/ou5/ou5_ha`, `${DATA}/ou5/ou5_heii`, 40, 'exposed'],
  [`${SAMPLE}-H`, `${SAMPLE}-S`, 20, 'aligned'],
  [`${SAMPLE}-H`, `${SAMPLE}-O`, 20, 'aligned'],
];
/** Exposures that seem to lie farther apart than this are not what the grid takes them for, in pixels at the corners. */
const FARTHEST_BEFORE = 1.5;

interface Tally {
  asked: number;
  answered: number;
  wrong: string[];
}

const ask = async (tally: Tally, a: Plane, b: Plane, planted: Planted, name: string) => {
  tally.asked++;
  const found = await registerPlanes(a, b);
  if (found.status === 'unknown') return;
  tally.answered++;
  const [error, sigma] = [errorOf(found, planted, a), doubtOf(found, a)];
  if (error > 0.5 && error > 3 * sigma)
    tally.wrong.push(`${name}: off by ${error.toFixed(2)} ± ${sigma.toFixed(2)} px`);
};

/** Where the channel lies before anything is planted. */
const offsetOf = async (a: Plane, b: Plane, before: Before): Promise<Planted> => {
  if (before === 'aligned') return {};
  const found = await registerPlanes(a, b);
  if (found.status === 'unknown') throw new Error(`a pair without an offset of its own: ${found.reason}`);
  expect(errorOf(found, {}, a)).toBeLessThan(FARTHEST_BEFORE);
  return { angle: found.rotation, scale: found.scale, dx: found.dx, dy: found.dy };
};

/** The map that first applies one and then the other. */
const both = (first: Planted, then: Planted): Planted => {
  const mapOf = ({ dx, dy, angle, scale }: Planted) => similarity({ cx: 0, cy: 0 }, dx, dy, angle, scale);
  const map = compose(mapOf(then), mapOf(first));
  return { angle: rotationOf(map), scale: scaleOf(map), dx: map.dx, dy: map.dy };
};

const draw = (rng: ReturnType<typeof random>): Planted => ({
  angle: [0, 0.5, 1, 1.5, 2, 3][Math.floor(6 * rng.uniform())]! * (rng.uniform() < 0.5 ? -1 : 1),
  scale: [1, 1, 0.98, 0.99, 1.01, 1.02][Math.floor(6 * rng.uniform())]!,
  dx: 6 * rng.normal(),
  dy: 6 * rng.normal(),
});

describe.skipIf(!here)(`planted misfits, seed ${seed}`, () => {
  it('are measured wrongly and with confidence in less than one of a hundred', { timeout: 3_600_000 }, async () => {
    const tally: Tally = { asked: 0, answered: 0, wrong: [] };
    const rng = random(seed, 31);
    for (const [reference, channel, count, before] of PAIRS) {
      const [a, b] = [await planeOf(`${reference}.fits`), await planeOf(`${channel}.fits`)];
      const own = await offsetOf(a, b, before);
      const sigma = noiseOf(b);
      for (let i = 0; i < count; i++) {
        const planted = draw(rng);
        const times = [0, 1, 3, 10, 20, 40][i % 6]!;
        const name = `${channel} ${JSON.stringify(planted)} noise × ${times}`;
        await ask(tally, a, noisy(moved(b, planted), times * sigma, seed * 1000 + i), both(own, planted), name);
      }
    }
    process.stdout.write(`planted: ${JSON.stringify(tally, null, 1)}\n`);
    expect(tally.answered).toBeGreaterThan(0.8 * tally.asked);
    expect(tally.wrong.length).toBeLessThan(0.01 * tally.asked);
  });

  it('that are no pairs at all are claimed once in 250 at most', { timeout: 3_600_000 }, async () => {
    const rng = random(seed, 37);
    const planes = await Promise.all(
      [`${DATA}/m42/m42_mixed_ha_590x584_f32`, `${DATA}/m42/m42_mixed_oiii_590x584_f32`, `${SAMPLE}-H`, `${SAMPLE}-O`]
        .concat(`${DATA}/ou5/ou5_ha`, `${DATA}/ou5/ou5_oiii`)
        .map((name) => planeOf(`${name}.fits`)),
    );
    const piece = (side: number) => {
      const target = Math.floor(rng.uniform() * planes.length);
      const plane = planes[target]!;
      const [x, y] = [plane.width, plane.height].map((length) => Math.floor(rng.uniform() * (length - side)));
      return { field: target >> 1, x: x!, y: y!, plane: crop(plane, x!, y!, side, side) };
    };
    const claims: string[] = [];
    for (let i = 0; i < 250; i++) {
      const side = [128, 160, 192, 256][i % 4]!;
      const a = piece(side);
      let b = piece(side);
      while (a.field === b.field && Math.abs(a.x - b.x) < side + 40 && Math.abs(a.y - b.y) < side + 40) b = piece(side);
      const other = i % 8 === 7 ? noisy({ ...b.plane, data: b.plane.data.map(() => 0) }, 1, seed * 1000 + i) : b.plane;
      const found = await registerPlanes(a.plane, other);
      if (found.status === 'found') claims.push(`${i}: ${JSON.stringify({ ...found, tiles: found.tiles.length })}`);
    }
    process.stdout.write(`unrelated pairs: ${JSON.stringify(claims, null, 1)}\n`);
    expect(claims.length).toBeLessThanOrEqual(1);
  });
});
