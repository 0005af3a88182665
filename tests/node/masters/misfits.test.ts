import { createHash } from 'node:crypto';
import { mkdtempSync, readdirSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import fc from 'fast-check';
import { afterAll, beforeAll, beforeEach, expect, it, vi } from 'vitest';
import { PAIR, type PairFinding } from '../../../lib/node/cache/finding-kinds.ts';
import { masterFile, sceneTruth } from '../../../samples/scene/index.ts';
import { inTurn } from '../../cases.ts';

/** How often pictures were compared with one another. */
const seen = vi.hoisted(() => ({ glances: 0, registrations: 0 }));
vi.mock('../../../lib/measure/registration/glance.ts', async (original) => {
  const { createGlance } = await original<typeof import('../../../lib/measure/registration/glance.ts')>();
  return {
    createGlance: (reference: Parameters<typeof createGlance>[0]): ReturnType<typeof createGlance> => {
      const glance = createGlance(reference);
      return (...words) => {
        seen.glances++;
        return glance(...words);
      };
    },
  };
});
vi.mock('../../../lib/measure/registration/register.ts', async (original) => {
  const { createRegistrar } = await original<typeof import('../../../lib/measure/registration/register.ts')>();
  return {
    createRegistrar: (reference: Parameters<typeof createRegistrar>[0]): ReturnType<typeof createRegistrar> => {
      const register = createRegistrar(reference);
      return (...words) => {
        seen.registrations++;
        return register(...words);
      };
    },
  };
});

const folder = mkdtempSync(join(tmpdir(), 'linewash-misfits-'));
afterAll(() => rmSync(folder, { recursive: true, force: true }));
const inputs = { S: join(folder, 'S.fits'), H: join(folder, 'H.fits'), O: join(folder, 'O.fits') };

beforeAll(async () => {
  const truth = sceneTruth({ width: 360, height: 240, misfit: { O: { dx: 7 } } });
  for (const [name, path] of Object.entries(inputs))
    writeFileSync(path, await masterFile(truth[name as keyof typeof inputs], 1));
});

let runs = 0;
let cache = '';
beforeEach(() => {
  cache = join(folder, `cache ${runs}`);
  Object.assign(seen, { glances: 0, registrations: 0 });
  vi.resetModules();
});

const mix = async (name: string, change: object = {}): Promise<readonly string[]> => {
  const { mixFiles } = await import('../../../lib/node/mix-files.ts');
  const { catalogueRecipe } = await import('../../../lib/palettes/catalogue.ts');
  const output = join(folder, `${runs++}.png`);
  return (await mixFiles({ recipe: catalogueRecipe(name)!, inputs, output, cache, ...change })).warnings;
};

const SHIFTED = /O\.fits.*O lies (6\.9|7\.0|7\.1) px right.* of H\./;

it.skipIf(!inTurn('only what'))('registers only what does not fit at a glance', async () => {
  expect(await mix('sho')).toEqual([expect.stringMatching(SHIFTED)]);
  expect(seen).toEqual({ glances: 2, registrations: 1 });
});

it('compares each pair once in a process, whichever recipes use it', async () => {
  for (const name of ['sho', 'hoo', 'ember', 'sho'])
    expect(await mix(name, { cache: undefined })).toEqual([expect.stringMatching(SHIFTED)]);
  expect(seen).toEqual({ glances: 2, registrations: 1 });
});

it('takes what an earlier process kept, and warns of the same', async () => {
  const first = await mix('sho');
  vi.resetModules();
  expect(await mix('sho')).toEqual(first);
  vi.resetModules();
  expect(await mix('hoo')).toEqual([expect.stringMatching(SHIFTED)]);
  expect(seen).toEqual({ glances: 2, registrations: 1 });
  vi.resetModules();
  expect(await mix('sho', { cache: undefined })).toEqual(first);
  expect(seen).toEqual({ glances: 4, registrations: 2 });
});

it('compares anew where borders are taken otherwise', async () => {
  const { catalogueRecipe } = await import('../../../lib/palettes/catalogue.ts');
  await mix('sho');
  await mix('sho', { recipe: { ...catalogueRecipe('sho')!, zeros: 'data' } });
  expect(seen.glances).toBe(4);
});

it('draws the same picture whether or not masters are compared anew', async () => {
  const pictures: string[] = [];
  for (const output of ['a.tif', 'b.tif'].map((name) => join(folder, name))) {
    await mix('sho', { output });
    pictures.push(createHash('sha256').update(readFileSync(output)).digest('hex'));
    vi.resetModules();
  }
  expect(pictures[0]).toBe(pictures[1]);
});

it('believes no entry that has not the shape of a comparison', async () => {
  await mix('sho');
  const kept = readdirSync(cache)
    .map((name) => JSON.parse(readFileSync(join(cache, name), 'utf8').split('\n')[1]!).answer)
    .filter((answer): answer is PairFinding => answer.copy !== undefined);
  expect(kept).toHaveLength(3);
  expect(kept.every((answer) => PAIR.accepts(answer))).toBe(true);
  const [one] = kept.filter(({ registration }) => registration !== undefined);
  const wrong = fc.constantFrom<unknown>(null, 'text', Number.NaN, Number.POSITIVE_INFINITY, {});
  fc.assert(
    fc.property(fc.constantFrom(...Object.keys(one!.registration!)), wrong, (key, value) => {
      expect(PAIR.accepts({ ...one, registration: { ...one!.registration, [key]: value } })).toBe(false);
      expect(PAIR.accepts({ ...one, copy: value })).toBe(false);
    }),
  );
});
