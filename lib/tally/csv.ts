import { csvText, placed } from '../plane/csv.ts';
import type { Tally } from './tally.ts';

/** `54 × 400`, one length after the other, in seconds. */
const lengthsText = (lengths: Readonly<Record<string, number>>): string =>
  Object.entries(lengths)
    .map(([seconds, count]) => `${count} × ${seconds}`)
    .join(' + ');

/** A tally as CSV: a row for each line of a target, or for each line of a target in a night. */
export const tallyCsv = ({ targets, nights }: Tally, by: 'line' | 'night' = 'line'): string =>
  by === 'night'
    ? csvText([
        ['night', 'target', 'line', 'subs', 'hours', 'lengths_s'],
        ...nights.map(({ night, target, line, subs, hours, lengths }) => [
          night,
          target,
          line,
          subs,
          placed(hours),
          lengthsText(lengths),
        ]),
      ])
    : csvText([
        ['target', 'line', 'subs', 'hours', 'nights', 'lengths_s', 'first', 'last'],
        ...targets.flatMap(({ target, lines }) =>
          lines.map(({ line, subs, hours, nights: count, lengths, first, last }) => [
            target,
            line,
            subs,
            placed(hours),
            count,
            lengthsText(lengths),
            first,
            last,
          ]),
        ),
      ]);
