import { existsSync, readFileSync } from 'node:fs';
import { readdir } from 'node:fs/promises';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { makeFolder } from '../node/files/file-sink.ts';
import { nameFault } from '../node/files/name-fault.ts';
import { writeContent } from '../node/files/write-whole.ts';
import { examples, type Verb } from './verb.ts';

/**
 * The masters that come with linewash: beside its source (from lib/cli and dist/lib/cli), else, as in the package, which
 * holds them once, with the page.
 */
const MASTERS = ['../../samples/masters/', '../../../samples/masters/', '../../playground/']
  .map((path) => fileURLToPath(new URL(path, import.meta.url)))
  .find((folder) => existsSync(join(folder, 'emberwing-H.fits')))!;

const WHOLE = /^emberwing-[A-Z].*\.fits(\.gz)?$/;
const APART = /^emberwing-star.*\.(fits|tif)$/;

/** `linewash samples`: writes the demo masters. */
export const samples: Verb = (program, { streams }) => {
  program
    .command('samples')
    .summary('write the demo masters')
    .description('Writes masters of an invented nebula to a folder, to try linewash with.')
    .argument('<folder>', 'folder for the masters; created if needed')
    .option('--starless', 'write part of the scene without stars, and its stars as a picture for --stars')
    .option('--force', 'replace files that exist and differ')
    .addHelpText(
      'after',
      examples(
        'linewash samples demo',
        'linewash mix ember S=demo/emberwing-S.fits H=demo/emberwing-H.fits O=demo/emberwing-O.fits -o demo/ember.tif',
      ),
    )
    .action(async (folder: string, flags: { force?: boolean; starless?: boolean }) => {
      const names = (await readdir(MASTERS)).filter((name) => (flags.starless ? APART : WHOLE).test(name));
      await makeFolder(folder);
      for (const name of names) {
        const path = join(folder, name);
        await writeSample(path, readFileSync(join(MASTERS, name)), flags.force ?? false);
        streams.out(`${path}\n`);
      }
    });
};

/** A file that holds the sample already is left as it is, so that the command can be given again. */
const writeSample = async (path: string, bytes: Buffer, force: boolean): Promise<void> => {
  if (holds(path, bytes)) return;
  const fault = await nameFault(path, force);
  if (fault !== undefined) throw fault;
  await writeContent(path, force, bytes);
};

const holds = (path: string, bytes: Buffer): boolean => {
  try {
    return readFileSync(path).equals(bytes);
  } catch {
    return false; // what stands in the way is told when it is written
  }
};
