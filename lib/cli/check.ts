import { checkFiles } from '../node/check-files.ts';
import { type ApartFlag, apartOption } from './apart.ts';
import { defectTable } from './check-report.ts';
import { MASTERS_HELP, mastersFrom } from './masters.ts';
import { reportWarnings } from './report.ts';
import { examples, printJson, type Verb } from './verb.ts';

interface Flags extends ApartFlag {
  readonly json?: boolean;
  readonly quiet?: boolean;
}

/** `linewash check`: what is wrong with masters, before they are mixed. */
export const check: Verb = (program, { streams, signal, progress }) => {
  program
    .command('check')
    .summary('look for trails, bad columns, seams and hot pixels in masters')
    .description(
      'Looks for what is in one master and not in the sky: trails, columns, rows, seams, and bright spots that only one ' +
        'line has. Also reports what does not fit together: filters, copies, shifts, sizes, stretched masters.',
    )
    .argument('[masters...]', MASTERS_HELP)
    .addOption(apartOption())
    .option('--json', 'print JSON')
    .option('--quiet', 'show no progress')
    .addHelpText('after', examples('linewash check S=S.fits H=H.fits O=O.fits', 'linewash check O=O.fits --json'))
    .action(async (words: string[], flags: Flags) => {
      const inputs = await mastersFrom(words, streams);
      const bar = progress(flags.quiet ?? false);
      const report = await checkFiles({
        inputs,
        apart: flags.combineApart,
        signal,
        progress: (stage, done) => bar.show(stage, done),
      }).finally(() => bar.clear());
      if (flags.json) return printJson(streams, report);
      streams.out(defectTable(report.defects));
      reportWarnings(report.warnings, streams);
    });
};
