import { type Command, Option } from 'commander';
import { GOALS, type Goal } from '../hours/advice.ts';
import type { ByLine } from '../hours/line-names.ts';
import { QUANTITIES, type Quantity } from '../hours/outputs.ts';
import type { SnrOf } from '../hours/snr.ts';
import type { Box } from '../plane/box.ts';
import type { KnobValues } from '../recipe/written/knobs.ts';
import { type ApartFlag, apartOption } from './apart.ts';
import {
  box,
  byLine,
  count,
  duration,
  hoursOf,
  inHours,
  type LineFlags,
  move,
  nights,
  positive,
  zeroOrMore,
} from './hours-flags.ts';
import { type OutlineChoice, outlineChoice } from './hours-outline.ts';
import { knobOption } from './knobs.ts';

/** Everything that the verb `hours` may be told. */
export interface HoursFlags extends LineFlags, ApartFlag {
  readonly time?: ByLine<number>;
  readonly more?: number;
  readonly nights?: { count: number; hours: number };
  readonly box?: Box;
  readonly outline?: OutlineChoice;
  readonly background?: Box;
  readonly goal?: Goal;
  readonly snr?: number;
  readonly in?: Quantity;
  readonly per?: SnrOf;
  readonly change?: number;
  readonly move?: ReturnType<typeof move>;
  readonly monteCarlo?: number;
  readonly knob?: KnobValues;
  readonly tally?: string;
  readonly target?: string;
  readonly plan?: string;
  readonly csv?: boolean;
  readonly json?: boolean;
  readonly quiet?: boolean;
}

/** Declares the options of the verb `hours`. */
export const addHoursOptions = (command: Command): Command =>
  command
    .addOption(knobOption())
    .option('--more <hours>', 'future hours to split over the lines, for example 10h', hoursOf)
    .option('--nights <n>x<hours>', 'future nights instead of --more, for example 3x6h', nights)
    .addOption(
      new Option(
        '--goal <goal>',
        'what to improve (default: luminance, or snr if --snr, --in or --per is given)',
      ).choices([...GOALS]),
    )
    .option('--box <x,y,w,h>', 'box around box around a faint feature, in pixels from 0 at the top left', box)
    .addOption(
      new Option(
        '--outline <file#n>',
        'instead of a box: an outline of linewash faint --json, for example faint.json#2',
      )
        .argParser(outlineChoice)
        .conflicts('box'),
    )
    .option('--background <x,y,w,h>', 'box of sky, if the measured level is not sky', box)
    .option('--snr <n>', 'for the goal snr: the SNR to reach as soon as possible', positive)
    .addOption(
      new Option('--in <quantity>', 'for the goal snr: the quantity to measure the SNR in').choices([...QUANTITIES]),
    )
    .addOption(
      new Option('--per <what>', 'whether SNR refers to one pixel or to the mean of the box').choices(['pixel', 'box']),
    )
    .option('--time <line=hours>', 'hours so far, overriding the header, for example S=4.5h,O=3h', byLine(hoursOf))
    .option('--tally <file>', 'hours so far that headers do not state: JSON of `tally`, or a folder of subs')
    .option('--target <name>', 'with --tally: which of its targets, if the masters do not say')
    .option('--sub <seconds>', 'length of future subs, for example 300s or S=300s,H=600s', byLine(duration))
    .option('--overhead <seconds>', 'time lost after each sub, for example 12s', byLine(duration))
    .option('--change <minutes>', 'time lost per night for each line used, for example 5m', inHours)
    .option('--cap <line=hours>', 'maximum hours of a line, past and future, for example O=20h', byLine(hoursOf))
    .option('--weight <line=n>', 'how much the noise of a line counts, for example O=2', byLine(positive))
    .option('--read-noise <electrons>', 'read noise, needed if future subs have a different length', byLine(zeroOrMore))
    .option('--sky <rate>', 'sky in electrons per second and pixel, for example S=0.2,H=0.3', byLine(zeroOrMore))
    .option('--gain <n>', 'electrons per count, to read the sky from a mean of subs', byLine(positive))
    .option('--pedestal <counts>', 'counts without any light, used with --gain', byLine(zeroOrMore))
    .option(
      '--move <from:to=hours>',
      'show the effect of moving hours from one line to another, for example S:O=2h',
      move,
    )
    .option('--monte-carlo <n>', 'check the ledger with this many random draws of the noise', count)
    .option(
      '--plan <file>',
      'split nights over several targets as described in this JSON plan, which names all recipes and masters',
    )
    .option('--csv', 'with --plan: print CSV')
    .addOption(apartOption())
    .option('--json', 'print JSON')
    .option('--quiet', 'show no progress');
