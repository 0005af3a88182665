import { mkdirSync, mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { parseBatch } from '../../../lib/node/batch/parse.ts';
import type { BatchPlan } from '../../../lib/node/batch/schema.ts';
import { LINES, type Line, masterFile, sceneTruth } from '../../../samples/scene/index.ts';

const truth = sceneTruth({ width: 120, height: 80 });

/** Each is drawn once, however many folders it is written into. */
const drawn = new Map<string, Promise<Uint8Array>>();

const fileOf = (line: Line, seed: number): Promise<Uint8Array> => {
  const key = `${line} ${seed}`;
  const file = drawn.get(key) ?? masterFile(truth[line], seed);
  drawn.set(key, file);
  return file;
};

/** Writes small masters of the sample scene as NAME-S.fits and so on, each target with noise of its own. */
export const writeTargets = async (folder: string, names: readonly string[], seed = 1): Promise<void> => {
  mkdirSync(folder, { recursive: true });
  for (const [i, name] of names.entries())
    for (const line of LINES) writeFileSync(join(folder, `${name}-${line}.fits`), await fileOf(line, seed + i));
};

/** A plan over a folder of such masters. */
export const plan = (more: Partial<BatchPlan> = {}): BatchPlan =>
  parseBatch(
    JSON.stringify({
      targets: [{ folder: 'masters', pattern: '{target}-{line}.fits' }],
      recipes: ['sho', 'hoo', 'ember'],
      into: 'out',
      outputs: ['{target} {recipe}.tif'],
      sheet: null,
      ...more,
    }),
  );

/** Runs with a fresh folder that is removed afterwards. */
export const inFolder = async (use: (folder: string) => Promise<void>): Promise<void> => {
  const folder = mkdtempSync(join(tmpdir(), 'linewash-batch-'));
  try {
    await use(folder);
  } finally {
    rmSync(folder, { recursive: true, force: true });
  }
};

export const readJson = (path: string): any => JSON.parse(readFileSync(path, 'utf8'));
