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
import { knobOption } from './knobs.ts';

/** Everything that the verb `hours` may be told. */
export interface HoursFlags extends LineFlags, ApartFlag {
  readonly time?: ByLine<number>;
  readonly more?: number;
  readonly nights?: { count: number; hours: number };
  readonly box?: Box;
  readonly background?: Box;
  readonly goal?: Goal;
  readonly snr?: number;
  readonly in?: Quantity;
  readonly per?: SnrOf;
  readonly change?: number;
  readonly move?: ReturnType<typeof move>;
  readonly monteCarlo?: number;
  readonly knob?: KnobValues;
  readonly plan?: string;
  readonly csv?: boolean;
  readonly json?: boolean;
  readonly quiet?: boolean;
}

/** Declares the options of the verb `hours`. */
export const addHoursOptions = (command: Command): Command =>
  command
    .addOption(knobOption())
    .option('--more <hours>', 'hours still to come, as 10h: split over the lines', hoursOf)
    .option('--nights <n>x<hours>', 'nights still to come, as 3x6h, instead of --more', nights)
    .addOption(
      new Option(
        '--goal <goal>',
        'what the hours shall do (default: luminance; snr where --snr, --in or --per is given)',
      ).choices([...GOALS]),
    )
    .option('--box <x,y,w,h>', 'a faint feature, in pixels from 0 at the top left', box)
    .option('--background <x,y,w,h>', 'sky, where the measured level is not sky', box)
    .option('--snr <n>', 'for the goal snr: the SNR to reach soonest', positive)
    .addOption(
      new Option('--in <quantity>', 'the quantity whose SNR counts, for the goal snr').choices([...QUANTITIES]),
    )
    .addOption(
      new Option('--per <what>', 'whether SNR means one pixel or the mean of the box').choices(['pixel', 'box']),
    )
    .option('--time <line=hours>', 'hours so far, instead of the header, as S=4.5h,O=3h', byLine(hoursOf))
    .option('--sub <seconds>', 'length of future subs, as 300s or S=300s,H=600s', byLine(duration))
    .option('--overhead <seconds>', 'time lost after each sub, as 12s', byLine(duration))
    .option('--change <minutes>', 'time lost for each line used, a night, as 5m', inHours)
    .option('--cap <line=hours>', 'most hours of a line in all, as O=20h', byLine(hoursOf))
    .option('--weight <line=n>', 'how much the noise of a line counts, as O=2', byLine(positive))
    .option('--read-noise <electrons>', 'read noise, where future subs differ in length', byLine(zeroOrMore))
    .option('--sky <rate>', 'sky in electrons a second and pixel, as S=0.2,H=0.3', byLine(zeroOrMore))
    .option('--gain <n>', 'electrons a count, to read the sky from a mean of subs', byLine(positive))
    .option('--pedestal <counts>', 'counts without any light, with --gain', byLine(zeroOrMore))
    .option('--move <from:to=hours>', 'what if: hours of one line spent on another, as S:O=2h', move)
    .option('--monte-carlo <n>', 'check the ledger with so many draws of the noise', count)
    .option('--plan <file>', 'split nights over several targets, as a plan in JSON says; takes no other line')
    .option('--csv', 'with --plan: print CSV')
    .addOption(apartOption())
    .option('--json', 'print JSON')
    .option('--quiet', 'no progress');
