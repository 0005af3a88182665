import type { StarLineReport, StarLook, StarsReport } from '../work/list-stars.ts';
import { table } from './table.ts';

const figure = (value: number, digits = 2) => value.toFixed(digits);
const or = (look: StarLook | null, show: (look: StarLook) => string) => (look === null ? '–' : show(look));

/** What stars look like: a row for each line, and for each line a map of their width over the frame. */
export const starTable = ({ lines, list }: StarsReport): string =>
  [
    `${list.count} stars\n`,
    table(
      ['line', 'FWHM px', 'flattening', 'angle'],
      lines.map(({ name, fwhm, flattening, angle }) => [
        name,
        figure(fwhm),
        figure(flattening),
        flattening < 0.02 ? '–' : `${angle.toFixed(0)}°`,
      ]),
    ),
    ...lines.map((line) => `\n${mapOf(line)}`),
  ].join('');

/** FWHM and flattening in nine parts of the frame, as they lie. */
const mapOf = ({ name, parts }: StarLineReport): string =>
  table(
    [`${name}: FWHM px`, '', '', 'flattening', '', ''],
    parts.map((row) => [
      ...row.map((look) => or(look, ({ fwhm }) => figure(fwhm))),
      ...row.map((look) => or(look, ({ flattening }) => figure(flattening))),
    ]),
  );

/** All stars, one a row. */
export const starCsv = ({ list }: StarsReport): string => {
  const names = list.lines.map(({ name }) => name);
  const header = ['x', 'y', 'snr', ...names.map((name) => `peak_${name}`)].join(',');
  const rows = Array.from({ length: list.count }, (_, s) =>
    [
      list.x[s]!.toFixed(3),
      list.y[s]!.toFixed(3),
      list.snr[s]!.toPrecision(5),
      ...list.peaks.map((peaks) => peaks[s]!.toPrecision(6)),
    ].join(','),
  );
  return `${[header, ...rows].join('\n')}\n`;
};

/** The same for machines. */
export const starJson = ({ lines, list }: StarsReport) => ({
  count: list.count,
  lines,
  list: Array.from({ length: list.count }, (_, s) => ({
    x: list.x[s]!,
    y: list.y[s]!,
    snr: list.snr[s]!,
    peaks: Object.fromEntries(list.lines.map(({ name }, k) => [name, list.peaks[k]![s]!])),
  })),
});
