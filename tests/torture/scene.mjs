// Masters of many invented targets, small, each with a nebula and noise of its own.
import { mkdirSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';

/**
 * Writes `names.length` targets as NAME-S.fits, NAME-H.fits and NAME-O.fits.
 * @param scene the module samples/scene; @param oneNebula whether all show one nebula, with noise of their own
 */
export const writeTargets = async (
  scene,
  folder,
  names,
  { width = 240, height = 160, seed = 1, oneNebula = false } = {},
) => {
  mkdirSync(folder, { recursive: true });
  let truth;
  for (const [i, name] of names.entries()) {
    if (i === 0 || !oneNebula) truth = scene.sceneTruth({ width, height, seed: seed + i });
    for (const line of scene.LINES)
      writeFileSync(join(folder, `${name}-${line}.fits`), await scene.masterFile(truth[line], seed + i));
  }
};

export const TARGET_NAMES = Array.from({ length: 20 }, (_, i) => `Wisp ${String(i + 1).padStart(2, '0')}`);

/** A plan over such a folder. */
export const planOver = (masters, into, more = {}) => ({
  linewash: 1,
  targets: [{ folder: masters, pattern: '{target}-{line}.fits' }],
  recipes: ['sho', 'hoo', 'ember'],
  into,
  outputs: ['{target}/{target} {recipe}.tif'],
  sheet: null,
  ...more,
});
