// Whole processes, timed from outside; several kinds are run in turn, so that a slow minute of the machine hits all.
import { spawnSync } from 'node:child_process';
import { existsSync } from 'node:fs';

const GNU_TIME = '/usr/bin/time';

/** Runs a command: wall time in ms, processor time in ms, peak memory in MiB where the system tells. */
export const runOnce = (words, options = {}) => {
  const measured = existsSync(GNU_TIME) ? [GNU_TIME, '-f', '@%M %U %S', ...words] : words;
  const began = performance.now();
  const { status, stderr, stdout } = spawnSync(measured[0], measured.slice(1), {
    encoding: 'utf8',
    maxBuffer: 1 << 26,
    ...options,
  });
  const wall = performance.now() - began;
  if (status !== 0) throw new Error(`${words.join(' ')}\n${stderr}`);
  const [, memory, user, system] = /@(\d+) ([\d.]+) ([\d.]+)\s*$/.exec(stderr) ?? [];
  return { wall, cpu: 1000 * (Number(user) + Number(system)), memory: Number(memory) / 1024, stdout };
};

export const median = (values) => {
  const sorted = [...values].sort((a, b) => a - b);
  const middle = (sorted.length - 1) / 2;
  return (sorted[Math.floor(middle)] + sorted[Math.ceil(middle)]) / 2;
};

/** Runs all kinds `rounds` times in turn. A kind: { name, words, rounds? }. Gives medians by name. */
export const inTurn = (kinds, rounds) => {
  const runs = new Map(kinds.map(({ name }) => [name, []]));
  for (let round = 0; round < rounds; round++)
    for (const { name, words, before, most = rounds } of kinds) {
      if (round >= most) continue;
      before?.();
      runs.get(name).push(runOnce(words));
    }
  return Object.fromEntries(
    [...runs].map(([name, all]) => [
      name,
      {
        wall: median(all.map((r) => r.wall)),
        least: Math.min(...all.map((r) => r.wall)),
        cpu: median(all.map((r) => r.cpu)),
        memory: Math.max(...all.map((r) => r.memory)),
        runs: all.length,
      },
    ]),
  );
};
