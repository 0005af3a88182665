// ENOSPC, EIO, EACCES, EROFS, EMFILE and short writes at every n-th file-system call of a batch: the picture is named,
// nothing is torn, the others are made, and the next run completes the folder.
import { mkdtempSync, rmSync } from 'node:fs';
import { join } from 'node:path';
import { arm, disarm } from './faulty-fs.mjs';
import { planOver } from './scene.mjs';
import { copyMasters, faultsIn } from './stage.mjs';

export const KINDS = ['ENOSPC', 'EIO', 'EACCES', 'EROFS', 'EMFILE', 'SHORT'];

/** One run with a fault at call `nth`, and one without; the first makes pictures, or replaces those that are there. */
const trial = async (stage, batchFiles, kind, nth, replacing) => {
  const place = mkdtempSync(join(stage.folder, 'fault-'));
  const into = place.slice(stage.folder.length + 1);
  // Copies, so that nothing that this process remembers of the masters saves a call.
  copyMasters(stage, join(place, 'masters'));
  const plan = planOver(join(place, 'masters'), join(place, 'out'), { recipes: stage.recipes });
  const faults = [];
  const say = (text) => faults.push(`${kind} at ${nth}: ${text}`);
  if (replacing) await batchFiles({ plan, parallel: 1 });
  arm(kind, nth, place);
  const result = await batchFiles({ plan, parallel: 1, force: replacing }).catch((cause) => cause);
  const { hit, count } = disarm();
  if (result instanceof Error) say(`the batch stopped with ${result.stack}`);
  else {
    const bad = result.pictures.filter(({ status }) => status === 'failed');
    if (result.made + result.failed + result.kept !== stage.pictures) say('a picture is missing from the report');
    for (const { why, target } of bad)
      if (/defect|\bE[A-Z]{3,}\b/.test(why) || why === '' || !target) say(`no reason in words: ${why}`);
    if (kind === 'SHORT' && bad.length > 0) say(`a short write failed: ${bad[0].why}`);
    const there = faultsIn(stage, `${into}/out`, {
      complete: replacing || result.failed === 0,
      orphans: hit !== 'unlink',
    });
    for (const text of there) say(`${text} (after ${hit})`);
  }
  const again = await batchFiles({ plan, parallel: 1 }).catch((cause) => cause);
  if (again instanceof Error || again.failed > 0)
    say(`the next run failed: ${again.stack ?? again.pictures?.find((p) => p.status === 'failed').why}`);
  for (const text of faultsIn(stage, `${into}/out`, { complete: true, orphans: hit !== 'unlink' }))
    say(`${text} in the end`);
  rmSync(place, { recursive: true, force: true });
  return { hit, count, faults };
};

/** Every `step`-th call of a batch, for each kind of fault; `seed` chooses with which call a kind begins. */
export const faultSweep = async (stage, step = 1, seed = 0) => {
  const { batchFiles } = await stage.compiled('index.js');
  const faults = [];
  const hits = {};
  let trials = 0;
  // Up to a fault a batch makes the calls of an undisturbed one: beyond their number nothing is hit.
  const calls = new Map();
  for (const replacing of [false, true]) {
    const { count, faults: without } = await trial(stage, batchFiles, KINDS[0], Number.POSITIVE_INFINITY, replacing);
    calls.set(replacing, count);
    faults.push(...without);
  }
  for (const [k, kind] of KINDS.entries())
    for (const replacing of [false, true])
      for (let nth = 1 + ((k * 7 + seed) % step); nth <= calls.get(replacing); nth += step) {
        const found = await trial(stage, batchFiles, kind, nth, replacing);
        faults.push(...found.faults);
        if (found.hit === undefined) break;
        hits[found.hit] = (hits[found.hit] ?? 0) + 1;
        trials++;
      }
  return { trials, hits, faults };
};
