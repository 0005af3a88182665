import { copyFileSync, mkdirSync, readdirSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { gzipSync } from 'node:zlib';
import { LATER, LATER_NAME, LINES, laterFile, masterFile, masterName, sceneTruth } from '../../samples/scene/index.ts';
import { FULL } from '../cases.ts';

/** Just as wide and high as the places that the documents name; full runs take the demo as it is shipped. */
export const DEMO = FULL ? { width: 1200, height: 800 } : { width: 720, height: 480 };

/** Writes the demo masters in small over those of a folder. */
export const shrinkDemo = async (demo: string): Promise<void> => {
  if (FULL) return;
  const truth = sceneTruth(DEMO);
  for (const line of LINES) writeFileSync(join(demo, masterName(line)), await masterFile(truth[line], 1));
  const later = await laterFile(sceneTruth({ ...LATER, ...DEMO }).O);
  writeFileSync(join(demo, LATER_NAME), gzipSync(later, { level: 1 }));
};

/** Keeps copies of the masters of a demo, and gives what lays them over it again. */
export const keepMasters = (demo: string, kept: string): (() => void) => {
  const names = readdirSync(demo).filter((name) => /\.fits(\.gz)?$/.test(name));
  mkdirSync(kept);
  for (const name of names) copyFileSync(join(demo, name), join(kept, name));
  return () => {
    for (const name of names) copyFileSync(join(kept, name), join(demo, name));
  };
};
