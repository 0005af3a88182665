import { InvalidArgumentError } from 'commander';
import type { ChannelRegistration } from '../measure/registration/channels.ts';
import { type MeasuredFile, type MeasureResult, measureFiles } from '../node/measure-files.ts';
import type { Measured } from '../plane/measured.ts';
import { type ApartFlag, apartOption } from './apart.ts';
import { defectTable } from './check-report.ts';
import { MASTERS_HELP, mastersFrom } from './masters.ts';
import { boxes, order, type SurfaceFlags, surfaceAsked, surfaceTable } from './measure-background.ts';
import { starCsv, starJson, starTable } from './measure-stars.ts';
import { reportWarnings } from './report.ts';
import type { Streams } from './streams.ts';
import { table } from './table.ts';
import { examples, printJson, type Verb } from './verb.ts';

interface Flags extends SurfaceFlags, ApartFlag {
  readonly at?: readonly [number, number];
  readonly stars?: boolean;
  readonly defects?: boolean;
  readonly csv?: boolean;
  readonly json?: boolean;
  readonly quiet?: boolean;
}

const position = (text: string): [number, number] => {
  const match = /^(\d+),(\d+)$/.exec(text);
  if (match === null) throw new InvalidArgumentError('Give X,Y in pixels, counted from 0 at the top left.');
  return [Number(match[1]), Number(match[2])];
};

/** `linewash measure`: what the masters are and whether they fit together. */
export const measure: Verb = (program, { streams, signal, progress }) => {
  program
    .command('measure')
    .summary('measure masters: size, coverage, level, noise, problems')
    .description('Measures masters over the pixels that all of them cover, and reports what does not fit.')
    .argument('[masters...]', MASTERS_HELP)
    .option('--at <x,y>', "show each line's value at this pixel, in file units (0,0 is top left)", position)
    .option(
      '--background <order>',
      'fit a background surface of order 1 to 4, or the best, and show how certain it is',
      order,
    )
    .option('--include <x,y,w,h>', 'fit the surface only to this box of sky; can be repeated', boxes)
    .option('--exclude <x,y,w,h>', 'leave this box out of the fit; can be repeated', boxes)
    .addOption(apartOption())
    .option('--picture <file>', 'draw the surface and the blocks it was fitted to: .tif, .png or .jpg')
    .option('--force', 'replace the picture if it exists')
    .option('--stars', 'find the stars, and show how wide and round they are over the frame')
    .option('--defects', 'look for trails, columns, rows, seams and lone spots, as check does')
    .option('--csv', 'with --stars: print the list of stars as comma-separated values, nothing else')
    .option('--json', 'print JSON')
    .option('--quiet', 'show no progress')
    .addHelpText(
      'after',
      examples(
        'linewash measure S=S.fits H=H.fits O=O.fits',
        'linewash measure H=H.fits --at 400,300 --json',
        'linewash measure O=O.fits --background best --picture sky.png',
        'linewash measure S=S.fits H=H.fits O=O.fits --stars --csv',
      ),
    )
    .action(async (words: string[], flags: Flags) => {
      const inputs = await mastersFrom(words, streams);
      const background = surfaceAsked(flags);
      const bar = progress(flags.quiet ?? false);
      const result = await measureFiles({
        inputs,
        at: flags.at,
        background,
        stars: flags.stars ?? flags.csv,
        defects: flags.defects,
        apart: flags.combineApart,
        force: flags.force,
        signal,
        progress: (stage, done) => bar.show(stage, done),
      }).finally(() => bar.clear());
      if (flags.csv) {
        streams.out(starCsv(result.stars!));
        reportWarnings(result.warnings, streams);
      } else report(result, flags.json ?? false, streams);
    });
};

const report = (result: MeasureResult, json: boolean, streams: Streams): void => {
  const { channels, registration, combined, surfaces, stars, defects, warnings } = result;
  if (json) {
    printJson(streams, {
      channels,
      registration,
      ...(combined.length > 0 && { combined }),
      ...(surfaces && { surfaces }),
      ...(stars && { stars: starJson(stars) }),
      ...(defects && { defects }),
      warnings,
    });
    return;
  }
  const titles = COLUMNS.map(([title]) => title);
  streams.out(
    table(
      titles,
      channels.map((c) => COLUMNS.map(([, show]) => show(c))),
    ),
  );
  if (registration.length > 0) streams.out(`\n${registrationTable(registration)}`);
  if (surfaces !== undefined) streams.out(`\n${surfaceTable(surfaces)}`);
  if (stars !== undefined) streams.out(`\n${starTable(stars)}`);
  if (defects !== undefined) streams.out(`\n${defectTable(defects)}`);
  reportWarnings(warnings, streams);
};

const figure = (v: number | null | undefined) =>
  v === undefined || v === null ? '–' : String(Number(v.toPrecision(6)));
const share = (part: number, whole: number) =>
  part === 0 ? '0' : `${figure(Number(((100 * part) / whole).toPrecision(3)))} %`;
const pixels = (m: Measured) => m.width * m.height;

const COLUMNS: readonly (readonly [string, (m: MeasuredFile) => string])[] = [
  ['line', (m) => m.name],
  ['size', (m) => `${m.width}×${m.height}`],
  ['type', (m) => m.type],
  ['filter', (m) => m.filter ?? '–'],
  ['hours', (m) => figure(m.hours)],
  ['counted', (m) => share(m.counted, pixels(m))],
  ['min', (m) => figure(m.min)],
  ['level', (m) => figure(m.level)],
  ['spread', (m) => figure(m.spread)],
  ['noise', (m) => figure(m.noise)],
  ['median', (m) => figure(m.median)],
  ['99.9 %', (m) => figure(m.percentiles['99.9'])],
  ['max', (m) => figure(m.max)],
  ['saturated', (m) => share(m.saturated, m.counted)],
  ['value', (m) => figure(m.value)],
];

const signed = (digits: number, v: number) => (Math.abs(v) < 0.5 * 10 ** -digits ? 0 : v).toFixed(digits);

/** How the channels lie on the reference, in pixels, degrees clockwise and per cent. */
const registrationTable = (registration: readonly ChannelRegistration[]) =>
  table(
    ['line', `right of ${registration[0]!.reference}`, 'down', 'turned', 'larger', '± px', 'tiles'],
    registration.map((r) =>
      r.status === 'found'
        ? [
            r.channel,
            signed(2, r.dx),
            signed(2, r.dy),
            `${signed(3, r.rotation)}°`,
            `${signed(3, 100 * (r.scale - 1))} %`,
            signed(2, r.uncertainty.shift),
            `${r.tiles.filter(({ weight }) => weight > 0).length} of ${r.tiles.length}`,
          ]
        : [r.channel, '–', '–', '–', '–', '–', r.reason],
    ),
  );
