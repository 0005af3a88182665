import { existsSync } from 'node:fs';
import { constants, copyFile, mkdir, readdir } from 'node:fs/promises';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { reasonOf } from '../node/reason.ts';
import { outputError } from '../plane/errors.ts';
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
    .description('Writes the masters of an invented nebula to a folder, to try everything on.')
    .argument('<folder>', 'where the masters go; made if it does not exist')
    .option('--starless', 'instead, a part of the scene without stars, and its stars as a picture for --stars')
    .option('--force', 'replace files that exist')
    .addHelpText(
      'after',
      examples(
        'linewash samples demo',
        'linewash mix ember S=demo/emberwing-S.fits H=demo/emberwing-H.fits O=demo/emberwing-O.fits -o demo/ember.tif',
      ),
    )
    .action(async (folder: string, flags: { force?: boolean; starless?: boolean }) => {
      const names = (await readdir(MASTERS)).filter((name) => (flags.starless ? APART : WHOLE).test(name));
      await mkdir(folder, { recursive: true }).catch((cause) => {
        throw outputError(folder, `cannot be made: ${reasonOf(cause)}`, 'choose another folder');
      });
      for (const name of names) {
        const path = join(folder, name);
        await copyFile(join(MASTERS, name), path, flags.force ? 0 : constants.COPYFILE_EXCL).catch((cause) => {
          throw outputError(
            path,
            `cannot be written: ${reasonOf(cause)}`,
            'use --force to replace it, or another folder',
          );
        });
        streams.out(`${path}\n`);
      }
    });
};
