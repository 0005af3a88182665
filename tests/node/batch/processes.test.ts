import { mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { FULL, inTurn, SEED, someOf } from '../../cases.ts';
import { canMount, diskFull } from '../../torture/disk-full.mjs';
import { faultSweep } from '../../torture/faults.mjs';
import { inLanes, killAtCalls, killAtRandom } from '../../torture/kills.mjs';
import { hasParallel, repeats, throughParallel } from '../../torture/repeats.mjs';
import { rivals } from '../../torture/rivals.mjs';
import { signals } from '../../torture/signals.mjs';
import { prepareStage } from '../../torture/stage.mjs';

// A small part of what `npm run torture` does; whole processes are started, stopped and killed here.
const TIME = 400_000;
const folder = mkdtempSync(join(tmpdir(), 'linewash-processes-'));
let stage: Awaited<ReturnType<typeof prepareStage>>;
let small: typeof stage;

beforeAll(async () => {
  const size = { width: 60, height: 40 };
  stage = await prepareStage(join(folder, 'stage'), { size, recipes: ['sho', 'ember'] });
  const { built } = stage;
  small = await prepareStage(join(folder, 'small'), { names: ['Arc'], recipes: ['hoo'], size, compiledIn: built });
}, TIME);
afterAll(() => rmSync(folder, { recursive: true, force: true }));

describe('a batch as a process', () => {
  it.skipIf(!inTurn('at random'))('survives kill -9 at random moments', { timeout: TIME }, async () => {
    const lanes = [() => killAtRandom(small, FULL ? 7 : 1, 0, SEED), () => killAtRandom(stage, FULL ? 3 : 1, 1, SEED)];
    const found = await inLanes(someOf(lanes, 1).map((start) => start()));
    expect(found.faults).toEqual([]);
    expect(found.killed).toBeGreaterThanOrEqual(FULL ? 10 : 1);
  });

  it.skipIf(!inTurn('the n-th'))('survives kill -9 at the n-th file-system call', { timeout: TIME }, async () => {
    // Other calls in each run, from the seed on.
    const lanes = [
      () => killAtCalls(small, FULL ? 6 : 1, { lane: 0, start: 1 + (SEED % 5), step: 11 }),
      () => killAtCalls(stage, FULL ? 4 : 1, { lane: 1, start: 1 + (SEED % 37), step: 37 }),
    ];
    const found = await inLanes(someOf(lanes, 1).map((start) => start()));
    expect(found.faults).toEqual([]);
    expect(found.killed).toBe(FULL ? 10 : 1);
  });

  it.skipIf(!inTurn('the n-th'))(
    'names what failed at the n-th file-system call, and loses nothing',
    { timeout: TIME },
    async () => {
      const { faults, hits, trials } = await faultSweep(small, FULL ? 19 : 61, SEED);
      expect(faults).toEqual([]);
      // Where few calls fail, the seed says of which kinds they are.
      expect(trials).toBeGreaterThan(3);
      if (FULL) expect(Object.keys(hits)).toEqual(expect.arrayContaining(['open', 'read', 'sync']));
    },
  );

  it('ends with 130 and 143 on SIGINT and SIGTERM, and resumes', { timeout: TIME }, async () => {
    const { faults, stopped } = await signals(stage, 2);
    expect(faults).toEqual([]);
    expect(stopped).toBe(2);
  });

  it.skipIf(!inTurn('a folder'))('shares a folder with another batch', { timeout: TIME }, async () => {
    expect((await rivals(stage, FULL ? 2 : 1, SEED)).faults).toEqual([]);
  });

  it.skipIf(!inTurn('bytes however'))('gives the same bytes however it is run', { timeout: TIME }, async () => {
    expect((await repeats(stage, FULL ? 6 : 1, SEED)).faults).toEqual([]);
  });

  it.skipIf(!hasParallel())(
    'gives the same bytes through GNU parallel, resumed from its log',
    { timeout: TIME },
    async () => {
      expect(await throughParallel(stage)).toMatchObject({ jobs: 4, resumed: 2, faults: [] });
    },
  );

  it.skipIf(!inTurn('a disk'))('survives a disk of any size', { timeout: TIME }, async (test) => {
    if (!canMount(stage)) return test.skip('mounting a small disk is not allowed here');
    const { faults, full } = await diskFull(stage, FULL ? 6 : 2);
    expect(faults).toEqual([]);
    expect(full).toBeGreaterThan(1);
  });
});
