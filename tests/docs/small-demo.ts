import { copyFileSync, mkdirSync, readdirSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { gzipSync } from 'node:zlib';
import {
  EMBERWING,
  LATER,
  LATER_NAME,
  LINES,
  laterFile,
  masterFile,
  masterName,
  sceneTruth,
} from '../../samples/scene/index.ts';
import { FULL } from '../cases.ts';

/** Just large enough for the places that the documents name; full runs take the demo as it is shipped. */
export const DEMO = FULL ? { width: 1200, height: 800 } : { width: 630, height: 420 };

const drawAll = async (): Promise<readonly (readonly [string, Uint8Array])[]> => {
  const truth = sceneTruth(DEMO);
  const subs = (truth.O.subs * LATER.hours.O) / EMBERWING.hours.O;
  const later = await laterFile({ ...truth.O, subs });
  const masters = LINES.map(async (line) => [masterName(line), await masterFile(truth[line], 1)] as const);
  // Stored, not compressed: that is quick to read.
  return Promise.all([...masters, [LATER_NAME, gzipSync(later, { level: 0 })] as const]);
};
let drawn: ReturnType<typeof drawAll> | undefined;

/** Writes the demo masters in small over those of a folder. */
export const shrinkDemo = async (demo: string): Promise<void> => {
  if (FULL) return;
  drawn ??= drawAll();
  for (const [name, bytes] of await drawn) writeFileSync(join(demo, name), bytes);
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
