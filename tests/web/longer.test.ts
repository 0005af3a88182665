import { openAsBlob } from 'node:fs';
import { mkdtemp, readFile, rm } from 'node:fs/promises';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { sharesAfter } from '../../lib/hours/noise-shares.ts';
import { catalogueRecipe, mixFiles } from '../../lib/node/index.ts';
import { createService } from '../../lib/web/service.ts';
import type { CallContext } from '../../lib/web/wire/rpc.ts';
import { masterName } from '../../samples/scene/index.ts';
import { linewash } from '../cli/capture.ts';

const context: CallContext = { signal: new AbortController().signal, progress: () => {} };
const lines = { S: 's', H: 'h', O: 'o' };
const small = (line: string) => join(process.env.LINEWASH_SMALL_MASTERS!, masterName(line as 'S'));
const inputs = { S: small('S'), H: small('H'), O: small('O') };
const recipe = { ...catalogueRecipe('sho'), smooth: { strength: 0.5 } };

describe('a mix after more hours', () => {
  let folder: string;
  beforeAll(async () => {
    folder = await mkdtemp(join(tmpdir(), 'linewash-longer-'));
  });
  afterAll(() => rm(folder, { recursive: true }));

  it('is on the page what the command line writes, whole and in part, and says what it is', async () => {
    const page = createService();
    for (const [line, id] of Object.entries(lines))
      await page.open({ id, name: `${line}.fits`, from: await openAsBlob(small(line)) });
    const question = { lines, recipe, time: {}, goal: 'luminance' as const, more: 10, nights: 1, change: 0, caps: {} };
    const answer = await page.hours({ ...question, snr: 5, until: 20 }, context);
    const longer = sharesAfter(answer.plan!.advice.allocation!.shares, answer.exposures);
    const options = { recipe, inputs, sample: 'u8' as const };
    const output = join(folder, 'later.tif');
    const { settled, warnings, width } = await mixFiles({ ...options, output, after: 10 });
    const bytes = await readFile(output);
    expect(warnings[0]).toMatch(/^an estimate, no picture that was taken: noise as 10 h more/);
    expect(bytes.toString('latin1')).toMatch(
      /"estimate":\{"what":"an estimate: nobody has taken this picture","after":10/,
    );

    const whole = await page.preview({ lines, recipe, longest: 5000, longer }, context);
    expect(whole.settled).toEqual(settled);
    const colours = whole.data.filter((_, i) => i % 4 < 3);
    expect(bytes.includes(Buffer.from(colours.buffer, 0, colours.length))).toBe(true);
    const now = await page.preview({ lines, recipe, longest: 5000 }, context);
    expect(now.data).not.toEqual(whole.data);

    const box = { x: 20, y: 30, width: 50, height: 40 };
    const part = await page.preview({ lines, recipe, box, longer }, context);
    const row = (y: number) =>
      whole.data.slice(4 * ((box.y + y) * width + box.x), 4 * ((box.y + y) * width + box.x + 50));
    for (const y of [0, 39]) expect(part.data.slice(200 * y, 200 * (y + 1))).toEqual(row(y));
  });

  it('leaves √(t / (t + n)) of the noise, and all of it where nothing is known of a line', () => {
    const plan = [
      { name: 'H', added: 3 },
      { name: 'O', added: 0 },
      { name: 'S', added: 2 },
    ];
    const spent = [{ name: 'H', hours: 1 }, { name: 'O', hours: 0 }, { name: 'S' }];
    expect(sharesAfter(plan, spent)).toEqual({ H: 0.5, O: 1, S: 1 });
  });

  it('asks for hours that headers do not state, and for hours that are hours', async () => {
    const words = Object.entries(inputs).map(([line, file]) => `${line}=${file}`);
    const ran = await linewash(['mix', 'sho', ...words, '-o', join(folder, 'a.png'), '--after', '0h']);
    expect(ran.code).toBe(2);
    expect(ran.err).toMatch(/--after/);
    const wrong = await linewash([
      'mix',
      'sho',
      ...words,
      '-o',
      join(folder, 'a.png'),
      '--after',
      '1h',
      '--time',
      'Q=3',
    ]);
    expect(wrong).toMatchObject({ code: 2, err: expect.stringMatching(/--time.*Q/) });
  });
});
