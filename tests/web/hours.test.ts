import { openAsBlob } from 'node:fs';
import { mkdtemp, writeFile } from 'node:fs/promises';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { beforeAll, describe, expect, it } from 'vitest';
import { adviseHours } from '../../lib/hours/advice.ts';
import { futureNoise } from '../../lib/hours/future.ts';
import { linesFor, noiseFactors } from '../../lib/hours/goal.ts';
import { catalogueRecipe } from '../../lib/index.ts';
import { ledgerFiles } from '../../lib/node/ledger-files.ts';
import { planFiles } from '../../lib/node/plan-files.ts';
import { LinewashError } from '../../lib/plane/errors.ts';
import type { PlaneSource } from '../../lib/plane/plane.ts';
import { createBench } from '../../lib/web/bench.ts';
import { createHoursDesk, type HoursQuestion } from '../../lib/web/hours.ts';
import { openMaster } from '../../lib/web/open-master.ts';
import { plainOf } from '../../lib/web/plain.ts';
import { createService } from '../../lib/web/service.ts';
import type { CallContext } from '../../lib/web/wire/rpc.ts';
import { freshSeason, nightsFrom, USUAL, writtenNights, writtenTarget } from '../../playground/model/season-wish.ts';
import { inTurn } from '../cases.ts';

const sample = (line: string) => new URL(`../../samples/masters/emberwing-${line}.fits`, import.meta.url).pathname;
const inputs = { S: sample('S'), H: sample('H'), O: sample('O') };
const lines = { S: 's', H: 'h', O: 'o' };
const recipe = catalogueRecipe('ember');
const context = (): CallContext => ({ signal: new AbortController().signal, progress: () => {} });
const question: HoursQuestion = { lines, recipe, goal: 'luminance', more: 10, until: 30 };

describe('hours on the page', () => {
  const service = createService();
  beforeAll(async () => {
    for (const [line, path] of Object.entries(inputs))
      await service.open({ id: lines[line as 'S'], name: `emberwing-${line}.fits`, from: await openAsBlob(path) });
  });

  it.each(['luminance', 'colour'] as const)('are those of the library for the same masters, for %s', async (goal) => {
    const files = await ledgerFiles({ recipe: await plainOf(recipe), inputs });
    const answer = await service.hours({ ...question, goal }, context());
    expect(answer.ledger).toEqual(files.ledger);
    expect(answer.exposures).toEqual(files.exposures);
    expect(answer.plan!.advice).toEqual(adviseHours(files.ledger, files.surveys, files.exposures, { goal, more: 10 }));
  });

  it.skipIf(!inTurn('with curves'))('come with curves that begin at the present and end where asked', async () => {
    const { ledger, exposures, plan } = await service.hours(question, context());
    expect(plan!.curves.map(({ line }) => line)).toEqual(['S', 'H', 'O', undefined]);
    for (const { points } of plan!.curves) {
      expect(points[0]!.hours).toBe(0);
      expect(points[0]!.noise / ledger.background.noise.luminance).toBeCloseTo(1, 12);
      expect(points.at(-1)!.hours).toBe(30);
      for (const [i, { noise }] of points.entries()) if (i > 0) expect(noise).toBeLessThan(points[i - 1]!.noise);
    }
    // The best split is no worse than giving all to one line, and the curve of a line is the noise after its hours.
    const [s, h, o, best] = plan!.curves.map(({ points }) => points.at(-1)!.noise);
    expect(best!).toBeLessThanOrEqual(Math.min(s!, h!, o!));
    const factors = noiseFactors(linesFor(ledger.background, 'luminance', exposures), [0, 0, 30]);
    expect(o!).toBeCloseTo(futureNoise(ledger.background, factors).noise.luminance, 12);
  });

  it.skipIf(!inTurn('a season'))('are planned for a season as a plan in a file is', async () => {
    const usual = freshSeason('2026-01-10');
    const season = { ...usual, nights: nightsFrom('2026-01-10', 3, 5.5), change: 6, overhead: 12 };
    const nights = writtenNights(season);
    const box = { x: 100, y: 650, width: 40, height: 40 };
    const wishes = [
      writtenTarget('Whole', { ...USUAL, up: 3, cap: 9 }, nights, undefined),
      writtenTarget('Shell', { ...USUAL, goal: 'snr', snr: 3, from: '2026-01-11' }, nights, box),
    ];
    const { change, overhead } = season;
    const plan = { nights, change: `${change}m`, overhead: `${overhead}s` };
    const targets = wishes.map((wish, i) => ({ lines, recipe, ...(i === 1 && { box }), wish }));
    const answer = await service.season({ ...plan, targets }, context());
    const written = wishes.map((wish, i) => ({
      ...wish,
      masters: inputs,
      recipe: 'ember',
      ...(i === 1 && { box: [box.x, box.y, box.width, box.height] }),
    }));
    const folder = await mkdtemp(join(tmpdir(), 'season-'));
    const file = join(folder, 'plan.json');
    await writeFile(file, JSON.stringify({ linewash: 1, ...plan, targets: written }));
    expect(answer).toEqual(await planFiles({ plan: file }));
    expect(answer.nights[0]!.blocks.every(({ target }) => target === 'Whole')).toBe(true);
    expect(answer.nights.flatMap(({ blocks }) => blocks).some(({ target }) => target === 'Shell')).toBe(true);
    const unknown = service.season({ ...plan, targets: [{ ...targets[0]!, time: { O: 0 } }] }, context());
    await expect(unknown).rejects.toThrow(/^Whole: the exposure of O is unknown/);
  });

  it('take given hours instead of the header', async () => {
    const { exposures, plan } = await service.hours({ ...question, time: { O: 20 } }, context());
    expect(exposures.map(({ hours, from }) => [hours, from])).toEqual([
      [6, 'header'],
      [4, 'header'],
      [20, 'given'],
    ]);
    const { advice: before } = (await service.hours(question, context())).plan!;
    // The same noise after four times the hours: an hour more of O is worth less.
    expect(plan!.advice.nextHour[2]!).toBeLessThan(0.5 * before.nextHour[2]!);
    expect(plan!.advice.allocation!.shares[2]!.added).not.toBe(before.allocation!.shares[2]!.added);
  });

  it('are not planned where the hours of a line are not known, and the ledger stands all the same', async () => {
    const answer = await service.hours({ ...question, time: { S: 0 } }, context());
    expect(answer.plan).toBeUndefined();
    expect(answer.ledger.lines).toEqual(['S', 'H', 'O']);
  });

  it.skipIf(!inTurn('a box'))('tell the SNR of a box', async () => {
    const box = { x: 500, y: 380, width: 40, height: 40 };
    const files = await ledgerFiles({ recipe: await plainOf(recipe), inputs, box });
    const { ledger, plan } = await service.hours({ ...question, box }, context());
    expect(ledger.box).toEqual(files.ledger.box);
    expect(plan!.advice.place).toBe('box');
    expect(plan!.advice.steps!.map(({ snr }) => snr)).toEqual([3, 5, 10]);
  });

  it('refuse a box outside the picture', async () => {
    const box = { x: 1190, y: 0, width: 40, height: 40 };
    await expect(service.hours({ ...question, box }, context())).rejects.toThrow(LinewashError);
  });
});

describe('the noise of lines', () => {
  it.skipIf(!inTurn('for all'))('is read once for all mixes that take the same off them', async () => {
    const bench = createBench();
    let rows = 0;
    for (const [line, path] of Object.entries(inputs)) {
      const master = await openMaster(line, `${line}.fits`, await openAsBlob(path));
      const counted = (source: PlaneSource): PlaneSource => ({
        ...source,
        readRows: (y, count, into) => {
          rows += count;
          return source.readRows(y, count, into);
        },
      });
      bench.add({ ...master, source: async (zeros, options) => counted(await master.source(zeros, options)) });
    }
    const desk = createHoursDesk(bench);
    const own = { ...question, lines: { S: 'S', H: 'H', O: 'O' } };
    await desk.answer(own, context());
    expect(rows).toBeGreaterThan(0);
    const after = rows;
    await desk.answer({ ...own, more: 3, goal: 'colour', time: { S: 3 } }, context());
    await desk.answer(
      {
        ...own,
        recipe: {
          ...recipe,
          matrix: [
            [1, 0, 0],
            [0, 1, 0],
            [0, 0, 1],
          ],
        },
      },
      context(),
    );
    expect(rows).toBe(after);
    await desk.answer({ ...own, background: { x: 20, y: 20, width: 64, height: 64 } }, context());
    expect(rows).toBeGreaterThan(after);
  });
});

describe('the outlook', () => {
  const service = createService();
  const part = { x: 1000, y: 300, width: 120, height: 80 };
  beforeAll(async () => {
    for (const [line, path] of Object.entries(inputs))
      await service.open({ id: lines[line as 'S'], name: `emberwing-${line}.fits`, from: await openAsBlob(path) });
  });

  /** Mean square of differences between neighbours in a row: what noise adds to a picture. */
  const roughness = ({ width, data }: { width: number; data: Uint8ClampedArray }) => {
    let sum = 0;
    for (let i = 0; i + 4 < data.length; i += 4)
      if ((i / 4) % width !== width - 1) for (let b = 0; b < 3; b++) sum += (data[i + b]! - data[i + b + 4]!) ** 2;
    return sum / data.length;
  };

  it('shows the present exactly, the past rougher and the future smoother', async () => {
    const pictures = await service.outlook({ lines, recipe, part, added: { S: 2, H: 0, O: 8 } }, context());
    const { data } = await service.preview({ lines, recipe, box: part }, context());
    expect(pictures.now.data).toEqual(data);
    expect(roughness(pictures.back)).toBeGreaterThan(1.2 * roughness(pictures.now));
    expect(roughness(pictures.smooth)).toBeLessThan(0.8 * roughness(pictures.now));
  });

  it('shows three times the present where nothing is added', async () => {
    const { back, now, smooth } = await service.outlook({ lines, recipe, part, added: {} }, context());
    expect(back.data).toEqual(now.data);
    expect(smooth.data).toEqual(now.data);
  });

  it('works at the edge of the picture', async () => {
    const edge = { x: 1180, y: 780, width: 20, height: 20 };
    const { back } = await service.outlook({ lines, recipe, part: edge, added: { O: 5 } }, context());
    expect([back.width, back.height, back.data.length]).toEqual([20, 20, 1600]);
  });
});
