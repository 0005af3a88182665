import { InvalidArgumentError } from 'commander';
import { type ByLine, underLineNames } from '../hours/line-names.ts';
import { usualCacheFolder } from '../node/cache/cache-folder.ts';
import { faintFiles } from '../node/faint-files.ts';
import type { Box } from '../plane/box.ts';
import { type ApartFlag, apartOption } from './apart.ts';
import { cacheOption } from './cache.ts';
import { faintText } from './faint-report.ts';
import { box, byLine, hoursOf, positive, zeroOrMore } from './hours-flags.ts';
import { mastersFrom } from './masters.ts';
import { reportWarnings } from './report.ts';
import { examples, printJson, type Verb } from './verb.ts';

interface Flags extends ApartFlag {
  readonly output?: string;
  readonly box?: Box;
  readonly falseBlobs?: number;
  readonly flats?: number;
  readonly largest?: number;
  readonly aim?: number;
  readonly time?: ByLine<number>;
  readonly light?: number;
  readonly force?: boolean;
  readonly cache: boolean;
  readonly json?: boolean;
  readonly quiet?: boolean;
}

const scale = (text: string): number => {
  const value = Number(text);
  if (![4, 8, 16, 32, 64, 128, 256].includes(value))
    throw new InvalidArgumentError('Give 4, 8, 16, 32, 64, 128 or 256.');
  return value;
};

/** `linewash faint`: what stands out of the noise of a line, and when it will show. */
export const faint: Verb = (program, { streams, signal, progress }) => {
  program
    .command('faint')
    .summary('show what stands out of the noise of a line, and when it will show')
    .description(
      'Averages the master of one line over areas of several scales and outlines what neither noise nor flats explain. ' +
        'Lists each outlined feature with the hours until it stands 3 and 5 times above its noise.',
    )
    .argument(
      '<masters...>',
      'the master of one line as LINE=FILE; LINE=A,B for two, which also tell how good the flats are',
    )
    .option('-o, --output <file>', 'write a picture of the map: .tif, .png or .jpg')
    .option('--box <x,y,w,h>', 'an area to judge against its surroundings, in pixels from 0 at the top left', box)
    .option('--false-blobs <n>', 'how many outlines noise alone may make in the frame (default: 1)', positive)
    .option(
      '--flats <share>',
      'part of the light that flats leave uncorrected (default: 0.001, or what two masters tell)',
      zeroOrMore,
    )
    .option('--largest <pixels>', 'the largest scale: 4, 8 … 256 (default: 64)', scale)
    .option('--aim <n>', 'how many times above its noise a feature has to stand, beside 3 (default: 5)', positive)
    .option('--time <line=hours>', 'hours so far, overriding the header, for example O=4.5h', byLine(hoursOf))
    .option(
      '--light <counts>',
      'light of the sky in a pixel, without bias, if the header does not give the gain',
      positive,
    )
    .addOption(apartOption())
    .addOption(cacheOption())
    .option('--force', 'replace a picture that exists')
    .option('--json', 'print JSON, with the outlines')
    .option('--quiet', 'show no progress')
    .addHelpText(
      'after',
      examples('linewash faint O=O.fits -o map.png', 'linewash faint O=this-year.fits,last-year.fits --json'),
    )
    .action(async (words: string[], flags: Flags) => {
      const inputs = await mastersFrom(words, streams);
      const { time = {}, combineApart: apart, cache, json, quiet, ...wish } = flags;
      const [name = ''] = Object.keys(inputs);
      const hours = underLineNames('--time', time, Object.keys(inputs));
      const bar = progress(quiet ?? false);
      const found = await faintFiles({
        inputs,
        apart,
        ...wish,
        hours: hours[name] ?? hours['*'],
        cache: cache ? usualCacheFolder() : undefined,
        signal,
        progress: (stage, done) => bar.show(stage, done),
      }).finally(() => bar.clear());
      reportWarnings(found.warnings, streams);
      if (json) printJson(streams, found);
      else streams.out(faintText(found));
    });
};
