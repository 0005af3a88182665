import { usualCacheFolder } from '../node/cache/cache-folder.ts';
import { starlessFiles } from '../node/starless-files.ts';
import { type ApartFlag, apartOption } from './apart.ts';
import { cacheOption } from './cache.ts';
import { MASTERS_HELP, mastersFrom } from './masters.ts';
import { reportWarnings } from './report.ts';
import { examples, printJson, type Verb } from './verb.ts';

interface Flags extends ApartFlag {
  readonly output: string;
  readonly force?: boolean;
  readonly cache: boolean;
  readonly json?: boolean;
  readonly quiet?: boolean;
}

/** `linewash starless`: masters without their stars. */
export const starless: Verb = (program, { streams, signal, progress }) => {
  program
    .command('starless')
    .summary('write masters without their stars')
    .description(
      'Finds the stars of registered masters, takes them out, and writes each master without them as a 32-bit FITS file. ' +
        'The files are good for mixing, not for photometry: what lay under a star is a guess.',
    )
    .argument('[masters...]', MASTERS_HELP)
    .requiredOption('-o, --output <folder>', 'folder for the files LINE-starless.fits; created if needed')
    .addOption(apartOption())
    .addOption(cacheOption())
    .option('--force', 'replace files that exist')
    .option('--json', 'print the names of the files and the number of stars as JSON')
    .option('--quiet', 'show no progress')
    .addHelpText('after', examples('linewash starless S=S.fits H=H.fits O=O.fits -o starless'))
    .action(async (words: string[], flags: Flags) => {
      const inputs = await mastersFrom(words, streams);
      const bar = progress(flags.quiet ?? false);
      const result = await starlessFiles({
        inputs,
        output: flags.output,
        apart: flags.combineApart,
        force: flags.force,
        cache: flags.cache ? usualCacheFolder() : undefined,
        signal,
        progress: (stage, done) => bar.show(stage, done),
      }).finally(() => bar.clear());
      reportWarnings(result.warnings, streams);
      if (flags.json) printJson(streams, result);
      else streams.out(`${result.files.join('\n')}\n`);
    });
};
