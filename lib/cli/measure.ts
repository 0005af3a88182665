import { InvalidArgumentError } from 'commander';
import { pixelNoiseOf } from '../hours/survey.ts';
import { type Channel, type MeasureOptions, measureChannels } from '../measure/measure.ts';
import type { ChannelRegistration } from '../measure/registration/channels.ts';
import { fitTogether } from '../measure/together.ts';
import { closeMasters, type Master, openMasters } from '../node/masters/masters.ts';
import { withExecutor } from '../node/threads/executor.ts';
import { inputError } from '../plane/errors.ts';
import type { Measured } from '../plane/measured.ts';
import { combinationNotes, combinationsOf } from '../recipe/settle/combinations.ts';
import { type ApartFlag, apartOption } from './apart.ts';
import { MASTERS_HELP, mastersFrom } from './masters.ts';
import { boxes, order, type SurfaceFlags, surfacesAsked, surfaceTable } from './measure-background.ts';
import { reportWarnings } from './report.ts';
import type { Streams } from './streams.ts';
import { table } from './table.ts';
import { examples, printJson, type Verb } from './verb.ts';

interface Flags extends SurfaceFlags, ApartFlag {
  readonly at?: readonly [number, number];
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
    .summary('size, coverage, level, noise and warnings of masters')
    .description('Measures masters over the pixels that all of them cover, and says what does not fit.')
    .argument('[masters...]', MASTERS_HELP)
    .option('--at <x,y>', "each line's value in file units at this pixel, from 0 at the top left", position)
    .option(
      '--background <order>',
      'fit a background surface of order 1 to 4, or the best, and say how certain it is',
      order,
    )
    .option('--include <x,y,w,h>', 'fit it to this box of sky only; may stand several times', boxes)
    .option('--exclude <x,y,w,h>', 'leave this box out of the fit; may stand several times', boxes)
    .addOption(apartOption())
    .option('--picture <file>', 'draw the surface and the blocks it rests on: .png or .tif')
    .option('--force', 'replace the picture if it exists')
    .option('--json', 'print JSON')
    .option('--quiet', 'no progress')
    .addHelpText(
      'after',
      examples(
        'linewash measure S=S.fits H=H.fits O=O.fits',
        'linewash measure H=H.fits --at 400,300 --json',
        'linewash measure O=O.fits --background best --picture sky.png',
      ),
    )
    .action(async (words: string[], flags: Flags) => {
      const inputs = await mastersFrom(words, streams);
      const bar = progress(flags.quiet ?? false);
      const show = (stage: string) => (done: number) => bar.show(stage, done);
      const found = await withExecutor(signal, async (executor) => {
        const options = { signal, executor, apart: flags.combineApart };
        const masters = await openMasters(inputs, { ...options, progress: show('open') });
        try {
          const measured = await measureEach(masters, { ...options, progress: show('measure') });
          const noise = await noiseOfEach(masters, measured, signal);
          const together = await fitTogether(masters, { signal, progress: show('register') });
          const background = await surfacesAsked(masters, flags, options);
          const values = flags.at && (await valuesAt(masters, flags.at));
          return { masters, measured, noise, together, background, values };
        } finally {
          bar.clear();
          await closeMasters(masters);
        }
      });
      report(found, flags.json ?? false, streams);
    });
};

interface Found {
  readonly masters: readonly Master[];
  readonly measured: readonly Measured[];
  /** Noise of one pixel, by master; undefined where there is no room to measure it. */
  readonly noise: readonly (number | undefined)[];
  readonly together: Awaited<ReturnType<typeof fitTogether>>;
  readonly background: Awaited<ReturnType<typeof surfacesAsked>>;
  readonly values: Awaited<ReturnType<typeof valuesAt>> | undefined;
}

const report = ({ masters, measured, noise, together, background, values }: Found, json: boolean, streams: Streams) => {
  const warnings = [
    ...masters.flatMap(readWarnings),
    ...sizeWarnings(masters),
    ...measured.flatMap(measuredWarnings),
    ...together.warnings,
    ...combinationNotes(masters),
    ...(background?.warnings ?? []),
  ];
  const channels = measured.map(
    (m, i): Row => ({ ...m, noise: noise[i] ?? null, ...(values ? { value: values.get(m.name) } : {}) }),
  );
  const { registration } = together;
  const surfaces = background?.surfaces;
  const combined = combinationsOf(masters);
  if (json) {
    printJson(streams, {
      channels,
      registration,
      ...(combined.length > 0 && { combined }),
      ...(surfaces && { surfaces }),
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
  reportWarnings(warnings, streams);
};

/** A line's statistics, with the noise of one of its pixels. */
type Row = Measured & { readonly noise: number | null; readonly value?: number | null | undefined };

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

/** Masters of different sizes cannot be mixed, but each can still be looked at: those of one size are measured together. */
const measureEach = async (masters: readonly Channel[], options: MeasureOptions): Promise<Measured[]> => {
  const measured: Measured[] = [];
  for (const size of new Set(masters.map(sizeOf)))
    measured.push(
      ...(await measureChannels(
        masters.filter((m) => sizeOf(m) === size),
        options,
      )),
    );
  return masters.map(({ name }) => measured.find((m) => m.name === name)!);
};

const noiseOfEach = async (masters: readonly Channel[], measured: readonly Measured[], signal: AbortSignal) => {
  const found: (number | undefined)[] = [];
  for (const [i, { source }] of masters.entries()) found.push(await pixelNoiseOf(source, measured[i]!, { signal }));
  return found;
};

const sizeOf = ({ source }: Channel) => `${source.width} × ${source.height}`;

const sizeWarnings = ([first, ...others]: readonly Channel[]): string[] =>
  others.flatMap((m) =>
    first === undefined || sizeOf(m) === sizeOf(first)
      ? []
      : [
          `${m.source.file}: ${sizeOf(m)} pixels, but ${first.source.file} has ${sizeOf(first)}: ` +
            'register and crop all masters to one common frame',
        ],
  );

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
