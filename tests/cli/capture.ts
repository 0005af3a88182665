import { mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { run } from '../../lib/cli/program.ts';

export interface Ran {
  readonly code: number;
  readonly out: string;
  readonly err: string;
}

/** Runs one command line in this process and keeps what it says, to nobody or to a person at a terminal. */
export const linewash = async (
  words: readonly string[],
  signal = new AbortController().signal,
  interactive = false,
): Promise<Ran> => {
  let out = '';
  let err = '';
  const streams = {
    out: (text: string) => {
      out += text;
    },
    err: (text: string) => {
      err += text;
    },
    interactive,
    colour: false,
  };
  const code = await run(words, streams, signal);
  return { code, out, err };
};

/** Runs with a fresh folder that is removed afterwards. */
export const inFolder = async (use: (folder: string) => Promise<void>): Promise<void> => {
  const folder = mkdtempSync(join(tmpdir(), 'linewash-test-'));
  try {
    await use(folder);
  } finally {
    rmSync(folder, { recursive: true, force: true });
  }
};

const small = (line: string) => join(process.env.LINEWASH_SMALL_MASTERS!, `emberwing-${line}.fits`);

/** The scene of the samples at 480 × 320: for what does not depend on how large masters are. */
export const SMALL = { S: small('S'), H: small('H'), O: small('O') };

/** The masters as shipped, 1200 × 800. */
export const SAMPLES = {
  S: 'samples/masters/emberwing-S.fits',
  H: 'samples/masters/emberwing-H.fits',
  O: 'samples/masters/emberwing-O.fits',
};

export const asWords = (files: Readonly<Record<string, string>>): string[] =>
  Object.entries(files).map(([name, file]) => `${name}=${file}`);
