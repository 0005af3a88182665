import { InvalidArgumentError, Option } from 'commander';
import { tallyFiles } from '../node/tally-files.ts';
import { CHANNEL_NAME } from '../plane/name.ts';
import { tallyCsv } from '../tally/csv.ts';
import type { Tally } from '../tally/tally.ts';
import { reportWarnings } from './report.ts';
import { table } from './table.ts';
import { examples, printJson, type Verb } from './verb.ts';

interface Flags {
  readonly by?: 'night';
  readonly filter?: Readonly<Record<string, string>>;
  readonly csv?: boolean;
  readonly json?: boolean;
  readonly quiet?: boolean;
}

/** `1=S,2=H`: lines by filter; may be given several times. */
const filters = (text: string, before: Readonly<Record<string, string>> = {}): Record<string, string> => {
  const found = text.split(',').map((word): [string, string] => {
    const at = word.lastIndexOf('=');
    const line = word.slice(at + 1).trim();
    if (at < 1 || !CHANNEL_NAME.test(line)) throw new InvalidArgumentError('Give FILTER=LINE, for example 1=S,2=H.');
    return [word.slice(0, at).trim(), line];
  });
  return { ...before, ...Object.fromEntries(found) };
};

/** `linewash tally`: count sub-exposures by target and line. */
export const tally: Verb = (program, { streams, signal, progress }) => {
  program
    .command('tally')
    .summary('count sub-exposures by target and line')
    .description(
      'Reads the headers of all sub-exposures in folders and prints how many subs and hours each target has in each ' +
        'line. Calibration frames and masters are left out.',
    )
    .argument('<folders...>', 'folders of sub-exposures; folders in them are searched too')
    .addOption(new Option('--by <what>', 'print one row for each night').choices(['night']))
    .option('--filter <filter=line>', 'which line a filter is for, for example 1=S,2=H,3=O', filters)
    .addOption(new Option('--csv', 'print CSV').conflicts('json'))
    .option('--json', 'print JSON')
    .option('--quiet', 'show no progress')
    .addHelpText(
      'after',
      examples(
        'linewash tally subs',
        'linewash tally subs --by night --csv > season.csv',
        'linewash tally subs more-subs --filter 1=S,2=H,3=O --json > tally.json',
      ),
    )
    .action(async (folders: string[], flags: Flags) => {
      const bar = progress(flags.quiet ?? false);
      const found = await tallyFiles({
        folders,
        filters: flags.filter,
        signal,
        progress: (done) => bar.show('tally', done),
      }).finally(() => bar.clear());
      reportWarnings(found.notes, streams);
      if (flags.json) {
        const { nights, ...rest } = found;
        printJson(streams, flags.by === 'night' ? found : rest);
      } else if (flags.csv) streams.out(tallyCsv(found, flags.by));
      else streams.out(`${flags.by === 'night' ? nightTable(found) : lineTable(found)}${closing(found)}`);
    });
};

const nameOf = (target: string): string => (target === '' ? '(no name)' : target);

const hoursShown = (hours: number): string => String(Number(hours.toFixed(2)));

const lengthsText = (lengths: Readonly<Record<string, number>>): string =>
  Object.entries(lengths)
    .map(([seconds, count]) => `${count} × ${seconds} s`)
    .join(', ');

const lineTable = ({ targets }: Tally): string =>
  table(
    ['target', 'line', 'subs', 'hours', 'nights', 'lengths', 'first', 'last'],
    targets.flatMap(({ target, lines }) =>
      lines.map(({ line, subs, hours, nights, lengths, first = '–', last = '–' }, i) => [
        i === 0 ? nameOf(target) : '',
        line,
        String(subs),
        hoursShown(hours),
        String(nights),
        lengthsText(lengths),
        first,
        last,
      ]),
    ),
  );

const nightTable = ({ nights }: Tally): string =>
  table(
    ['night', 'target', 'line', 'subs', 'hours', 'lengths'],
    nights.map(({ night, target, line, subs, hours, lengths }, i) => [
      night === nights[i - 1]?.night ? '' : night,
      nameOf(target),
      line,
      String(subs),
      hoursShown(hours),
      lengthsText(lengths),
    ]),
  );

const NOONS = {
  localTime: 'by the local time in the header',
  longitude: 'by the longitude in the header',
  utc: 'UTC',
} as const satisfies Record<keyof Tally['noon'], string>;

/** How much was left out, and what night is meant. */
const closing = ({ left, noon }: Tally): string => {
  const kinds = (Object.keys(NOONS) as (keyof typeof NOONS)[]).filter((kind) => noon[kind] > 0);
  const each = kinds.map((kind) => (kinds.length > 1 ? `${NOONS[kind]} (${noon[kind]} subs)` : NOONS[kind]));
  const nights = kinds.length === 0 ? '' : `Nights run from noon to noon, ${each.join('; ')}.\n`;
  const plural = (count: number, word: string) => `${count} ${word}${count === 1 ? '' : 's'}`;
  const out = `Left out: ${plural(left.calibration, 'calibration frame')}, ${plural(left.masters, 'master')}.\n`;
  return `\n${nights}${out}`;
};
