// The sample scene in small, drawn once for all tests whose property does not depend on how large the masters are.
import { mkdtempSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { LINES, masterFile, masterName, sceneTruth } from '../../samples/scene/index.ts';

/** Writes the masters into the temporary folder of the run, and leaves its path to the tests' processes. */
export default async (): Promise<void> => {
  // Each project of the configuration asks for them.
  if (process.env.LINEWASH_SMALL_MASTERS !== undefined) return;
  const folder = mkdtempSync(join(tmpdir(), 'linewash-small-'));
  process.env.LINEWASH_SMALL_MASTERS = folder;
  const truth = sceneTruth({ width: 480, height: 320 });
  for (const line of LINES) writeFileSync(join(folder, masterName(line)), await masterFile(truth[line], 1));
};
