import { appendFileSync, copyFileSync, readdirSync, rmSync } from 'node:fs';
import { join } from 'node:path';
import { describe, expect, it } from 'vitest';
import { batchFiles } from '../../lib/node/batch/batch-files.ts';
import { mixFiles } from '../../lib/node/mix-files.ts';
import { catalogueRecipe } from '../../lib/palettes/catalogue.ts';
import { LinewashError } from '../../lib/plane/errors.ts';
import { inFolder, plan, writeTargets } from './batch/scene.ts';

/** Mixes while something happens to the master of H. */
const mixWhile = async (folder: string, happens: (path: string) => void) => {
  await writeTargets(folder, ['Rim']);
  const [H, O] = [join(folder, 'Rim-H.fits'), join(folder, 'Rim-O.fits')];
  let once = false;
  return mixFiles({
    recipe: catalogueRecipe('hoo'),
    inputs: { H, O },
    output: join(folder, 'hoo.tif'),
    progress: (stage) => {
      if (stage === 'apply' && !once) {
        once = true;
        happens(H);
      }
    },
  });
};

describe('a master that changes while it is read', () => {
  it.each([
    ['is written to', (path: string) => appendFileSync(path, ' ')],
    [
      'is replaced',
      (path: string) => {
        copyFileSync(path, `${path}.new`);
        rmSync(path);
        copyFileSync(`${path}.new`, path);
      },
    ],
  ])('gives no picture: %s', (_, happens) =>
    inFolder(async (folder) => {
      await expect(mixWhile(folder, happens)).rejects.toThrow(/changed while it was read/);
      expect(readdirSync(folder).filter((name) => /hoo|part/.test(name))).toEqual([]);
    }),
  );

  it('gives no picture, and names the file, where it vanishes', () =>
    inFolder(async (folder) => {
      const cause = await mixWhile(folder, (path) => rmSync(path)).catch((thrown) => thrown);
      expect(cause).toBeInstanceOf(LinewashError);
      expect(cause).toMatchObject({ tag: 'input', file: join(folder, 'Rim-H.fits') });
      expect(readdirSync(folder).filter((name) => /hoo|part/.test(name))).toEqual([]);
    }));

  it('fails its pictures alone; the next run makes them', () =>
    inFolder(async (folder) => {
      await writeTargets(join(folder, 'masters'), ['Arc', 'Rim']);
      let once = false;
      const result = await batchFiles({
        plan: plan({ recipes: ['hoo'] }),
        folder,
        progress: (pace, report) => {
          if (pace.done === 0 && pace.share > 0.4 && report === undefined && !once) {
            once = true;
            appendFileSync(join(folder, 'masters/Arc-H.fits'), ' ');
          }
        },
      });
      expect(result).toMatchObject({ made: 1, failed: 1 });
      expect(result.pictures[0]!.why).toMatch(/Arc-H\.fits: changed while it was read/);
      expect(await batchFiles({ plan: plan({ recipes: ['hoo'] }), folder })).toMatchObject({ made: 1, kept: 1 });
    }));
});
