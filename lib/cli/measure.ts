import { InvalidArgumentError } from 'commander';
import { measureChannels } from '../measure/measure.ts';
import { closeMasters, type Master, openMasters } from '../node/masters.ts';
import { inputError } from '../plane/errors.ts';
import type { Measured } from '../plane/measured.ts';
import { requireLines } from './lines.ts';
import { reportWarnings } from './report.ts';
import { table } from './table.ts';
import { examples, printJson, type Verb } from './verb.ts';

interface Flags {
  readonly at?: readonly [number, number];
  readonly json?: boolean;
  readonly quiet?: boolean;
}

const position = (text: string): [number, number] => {
  const match = /^(\d+),(\d+)$/.exec(text);
  if (match === null) throw new InvalidArgumentError('X,Y is wanted, counted from 0 at the top left.');
  return [Number(match[1]), Number(match[2])];
};

/** `linewash measure`: what the masters are and whether they fit together. */
export const measure: Verb = (program, { streams, signal, progress }) => {
  program
    .command('measure')
    .summary('size, coverage, level, noise and warnings of masters')
    .description('Measures masters over the pixels that all of them cover, and says what does not fit.')
    .argument('[masters...]', 'one master a line, as LINE=FILE')
    .option('--at <x,y>', "each line's value in file units at this pixel, from 0 at the top left", position)
    .option('--json', 'print JSON')
    .option('--quiet', 'no progress')
    .addHelpText(
      'after',
      examples('linewash measure S=S.fits H=H.fits O=O.fits', 'linewash measure H=H.fits --at 400,300 --json'),
    )
    .action(async (words: string[], flags: Flags) => {
      const inputs = requireLines(words);
      const bar = progress(flags.quiet ?? false);
      const masters = await openMasters(inputs, { signal });
      try {
        const measured = await measureChannels(masters, { signal, progress: (done) => bar.show('measure', done) });
        bar.clear();
        const values = flags.at && (await valuesAt(masters, flags.at));
        const warnings = [...masters.flatMap(readWarnings), ...measured.flatMap(measuredWarnings)];
        const channels = measured.map((m) => ({ ...m, ...(values ? { value: values.get(m.name) } : {}) }));
        if (flags.json) printJson(streams, { channels, registration: null, warnings });
        else {
          streams.out(
            table(
              COLUMNS.map(([title]) => title),
              channels.map((c) => COLUMNS.map(([, show]) => show(c))),
            ),
          );
          reportWarnings(warnings, streams);
        }
      } finally {
        bar.clear();
        await closeMasters(masters);
      }
    });
};

type Row = Measured & { readonly value?: number | null | undefined };

const figure = (v: number | null | undefined) =>
  v === undefined || v === null ? '–' : String(Number(v.toPrecision(6)));
const share = (part: number, whole: number) =>
  part === 0 ? '0' : `${figure(Number(((100 * part) / whole).toPrecision(3)))} %`;
const pixels = (m: Measured) => m.width * m.height;

const COLUMNS: readonly (readonly [string, (m: Row) => string])[] = [
  ['line', (m) => m.name],
  ['size', (m) => `${m.width}×${m.height}`],
  ['type', (m) => m.type],
  ['filter', (m) => m.filter ?? '–'],
  ['hours', (m) => figure(m.hours)],
  ['counted', (m) => share(m.counted, pixels(m))],
  ['min', (m) => figure(m.min)],
  ['level', (m) => figure(m.level)],
  ['noise', (m) => figure(m.noise)],
  ['median', (m) => figure(m.median)],
  ['99.9 %', (m) => figure(m.percentiles['99.9'])],
  ['max', (m) => figure(m.max)],
  ['saturated', (m) => share(m.saturated, m.counted)],
  ['value', (m) => figure(m.value)],
];

const readWarnings = ({ source }: Master) => source.warnings.map((w) => `${source.file}: ${w}`);

const measuredWarnings = (m: Measured): string[] => [
  ...(m.flat ? [`${m.file}: every pixel is ${m.min}: there is no picture in it`] : []),
  ...(m.stretched ? [`${m.file}: looks stretched already; linewash expects linear masters, or "curve": "linear"`] : []),
  ...(m.saturated > 0.001 * m.counted
    ? [`${m.file}: ${share(m.saturated, m.counted)} of the pixels are saturated`]
    : []),
];

/** Physical values at one pixel; null where undefined. */
const valuesAt = async (masters: readonly Master[], [x, y]: readonly [number, number]) => {
  const values = new Map<string, number | null>();
  for (const { name, source } of masters) {
    if (x >= source.width || y >= source.height)
      throw inputError(
        `${x},${y} lies outside ${source.width} × ${source.height} pixels`,
        'count from 0 at the top left',
        source.file,
      );
    const row = new Float64Array(source.width);
    await source.readRows(y, 1, row);
    values.set(name, Number.isFinite(row[x]) ? row[x]! : null);
  }
  return values;
};
