// A batch on a disk of every size: no torn picture, no success with a picture missing; with room again, all is made.
import { spawnSync } from 'node:child_process';
import { mkdirSync, rmSync, statSync } from 'node:fs';
import { join } from 'node:path';
import { faultsIn, runAlone, runBatch, statusesOf } from './stage.mjs';

const mount = (folder, bytes, options = '') =>
  spawnSync('mount', ['-t', 'tmpfs', '-o', `size=${bytes}${options}`, 'tmpfs', folder]).status === 0;
const unmount = (folder) => spawnSync('umount', [folder]);

/** Whether this machine lets us mount a small disk. */
export const canMount = (stage) => {
  const folder = join(stage.folder, 'probe');
  mkdirSync(folder, { recursive: true });
  const can = mount(folder, 65536);
  if (can) unmount(folder);
  return can;
};

const trial = async (stage, kib, lane) => {
  const into = `disk-${lane}`;
  const folder = join(stage.folder, into);
  const faults = [];
  mkdirSync(folder, { recursive: true });
  if (!mount(folder, kib * 1024)) return { full: false, faults: ['cannot mount'] };
  try {
    const ran = await runBatch(stage, into);
    const { made, failed } = statusesOf(ran);
    const missing = faultsIn(stage, into, { complete: true }).filter((text) => text.endsWith('is missing')).length;
    if (ran.code === 0 && missing > 0) faults.push(`${kib} KiB: success with ${missing} pictures missing`);
    if (ran.code !== (failed > 0 ? 1 : 0))
      faults.push(`${kib} KiB: exit ${ran.code} with ${failed} failed: ${ran.err}`);
    if (made !== stage.pictures - missing) faults.push(`${kib} KiB: ${made} reported as made, ${missing} missing`);
    if (failed > 0 && !/disk is full/.test(ran.out)) faults.push(`${kib} KiB: the reason is not given`);
    faults.push(...faultsIn(stage, into, { orphans: true }));
    spawnSync('mount', ['-o', 'remount,size=64m', folder]);
    const again = await runAlone(stage, into);
    if (again.code !== 0) faults.push(`${kib} KiB: not even with room: ${again.out}`);
    faults.push(...faultsIn(stage, into, { complete: true }));
    return { full: failed > 0, faults };
  } finally {
    unmount(folder);
    rmSync(folder, { recursive: true, force: true });
  }
};

/** Sizes from nothing to enough, in two lanes. */
export const diskFull = async (stage, sizes) => {
  const whole = Object.keys(stage.reference).map((name) => statSync(join(stage.folder, 'reference', name)).size);
  // Folders and the last picture's temporary file need room as well.
  const enough = whole.reduce((sum, bytes) => sum + bytes + 8192, 32768) / 1024;
  const all = Array.from({ length: sizes }, (_, i) => 4 + Math.round((i * enough) / sizes));
  const faults = [];
  let full = 0;
  const lane = async (l) => {
    for (let kib = all.shift(); kib !== undefined; kib = all.shift()) {
      const found = await trial(stage, kib, l);
      if (found.full) full++;
      faults.push(...found.faults);
    }
  };
  await Promise.all([lane(0), lane(1)]);
  return { sizes, full, faults };
};
