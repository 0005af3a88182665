import { expect, it } from 'vitest';
import { createPlaceWorker, placeAll } from '../../../lib/measure/registration/place-pieces.ts';
import type { Executor } from '../../../lib/plane/executor.ts';
import { planeSource } from '../../../lib/plane/memory-plane.ts';
import type { PieceWorking } from '../../../lib/plane/piece-work.ts';
import { lineTruth } from '../../../samples/scene/index.ts';
import { randomNumbers } from '../../parity/settled-cases.ts';
import { sceneSources, sourceOf } from './scene.ts';

const SIZE = { width: 480, height: 320 };
const { S, H } = sceneSources(SIZE);
const next = randomNumbers(5);
const noise = planeSource('n.fits', { ...SIZE, data: Float32Array.from({ length: 480 * 320 }, next) });
const turned = sourceOf(lineTruth({ ...SIZE, misfit: { O: { dx: 3, dy: -2, angle: 0.4 } } }, 'O'));
const channels = [S, noise, turned];

const sharing = (pieces: PieceWorking) => ({ pieces }) as unknown as Executor;

/** Two workers that take the pieces in turn, the last first. */
const twoWorkers: PieceWorking = async ({ sources, question, pieces }) => {
  const workers = [0, 1].map(() => createPlaceWorker(sources, structuredClone(question)));
  const answers: Float32Array<ArrayBuffer>[] = [];
  for (let piece = pieces - 1; piece >= 0; piece--) answers[piece] = structuredClone(await workers[piece % 2]!(piece));
  return answers;
};

it.each([true, false])('says the same whoever measures, with a glance: %s', async (glances) => {
  const alone = await placeAll(H, channels, { glances });
  const shared = await placeAll(H, channels, { glances }, { executor: sharing(twoWorkers) });
  expect(alone.map(({ status }) => status)).toEqual(['found', 'unknown', 'found']);
  expect(shared).toEqual(JSON.parse(JSON.stringify(alone)));
});

it('measures alone where the work cannot be shared, and tells how far it is', async () => {
  const told: number[] = [];
  const executor = sharing(() => undefined);
  const places = await placeAll(H, [S, turned], { glances: true }, { executor, progress: (done) => told.push(done) });
  expect(places).toEqual(await placeAll(H, [S, turned], { glances: true }));
  expect(told).toEqual([0.5, 1]);
});
