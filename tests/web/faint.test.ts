import { openAsBlob } from 'node:fs';
import { mkdtemp, rm } from 'node:fs/promises';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterAll, beforeAll, expect, it } from 'vitest';
import { catalogueRecipe } from '../../lib/index.ts';
import { faintFiles, hoursFiles } from '../../lib/node/index.ts';
import { createService } from '../../lib/web/service.ts';
import type { CallContext } from '../../lib/web/wire/rpc.ts';
import { linewash } from '../cli/capture.ts';

const service = createService();
const context = (more: Partial<CallContext> = {}): CallContext => ({
  signal: new AbortController().signal,
  progress: () => {},
  ...more,
});
let folder: string;
const at = (name: string) => join(folder, `palehoop-${name}.fits`);
beforeAll(async () => {
  folder = await mkdtemp(join(tmpdir(), 'linewash-faint-'));
  await linewash(['samples', folder, '--target', 'palehoop', '--size', '400', '--quiet']);
  for (const name of ['H', 'O', 'O-last-year'])
    await service.open({ id: name, name: `palehoop-${name}.fits`, from: await openAsBlob(at(name)) });
});
afterAll(() => rm(folder, { recursive: true }));

it('finds what the command finds, in one master and in two, with the map as a picture', async () => {
  const seen: number[] = [];
  for (const names of [['O'], ['O', 'O-last-year']]) {
    const inputs = { O: names.map(at).join(',') };
    const wish = { falseBlobs: 2, largest: 32, hours: 3 };
    const { file, warnings, ...found } = await faintFiles({ inputs, ...wish });
    const question = { line: 'O', id: names.join('+'), ...wish };
    const { picture, ...view } = await service.faint(question, context({ progress: (done) => void seen.push(done) }));
    expect(view).toEqual(found);
    expect(view.features.length).toBeGreaterThan(0);
    expect(view.wander === undefined).toBe(names.length === 1);
    expect([picture.width, picture.height]).toEqual([view.width, view.height]);
  }
  expect(seen.at(-1)).toBe(1);
});

it('can be stopped', async () => {
  const control = new AbortController();
  control.abort();
  const question = { line: 'H', id: 'H' };
  await expect(service.faint(question, context({ signal: control.signal }))).rejects.toMatchObject({
    tag: 'cancelled',
  });
});

it('plans hours for an outline as the command does, and for another one anew', async () => {
  const lines = { H: 'H', O: 'O' };
  const inputs = { H: at('H'), O: at('O') };
  const { features } = await service.faint({ line: 'O', id: 'O', falseBlobs: 20 }, context());
  const recipe = catalogueRecipe('hoo');
  const values = new Set<number>();
  for (const { outline } of features.slice(0, 2)) {
    const files = await hoursFiles({ recipe, inputs, goal: 'snr', snr: 5, outline });
    const answer = await service.hours({ lines, recipe, goal: 'snr', snr: 5, more: 10, until: 30, outline }, context());
    expect(answer.ledger.box).toEqual(files.ledger.box);
    values.add(answer.ledger.box!.snr.luminance);
  }
  expect(values.size).toBe(2);
});
