const plural = (count: number, word: string): string => `${count} ${word}${count === 1 ? '' : 's'}`;

/** Words of the table of subs. */
export const text = {
  title: 'Sub-exposures',
  counting: (files: number) => `Counting subs in ${files} files`,
  head: {
    target: 'Target',
    line: 'Line',
    subs: 'Subs',
    hours: 'Hours',
    nights: 'Nights',
    lengths: 'Lengths',
    dates: 'From – to',
  },
  noName: '(no name)',
  lengths: (lengths: Readonly<Record<string, number>>) =>
    Object.entries(lengths)
      .map(([seconds, count]) => `${count} × ${seconds} s`)
      .join(', '),
  left: (calibration: number, masters: number) =>
    `Left out: ${plural(calibration, 'calibration frame')}, ${plural(masters, 'master')}.`,
  nothing: 'There are no sub-exposures among these files.',
  filters: 'Filters without a line',
  filtersAbout: 'Their names say no line. Choose one, and their subs are counted.',
  filter: (filter: string, subs: number) =>
    `${filter === '' ? 'no filter in the header' : `“${filter}”`}${subs > 0 ? `, ${plural(subs, 'sub')}` : ''}`,
  lineOf: (filter: string) => `Line of ${filter === '' ? 'subs without a filter' : `filter ${filter}`}`,
  noLine: 'not counted',
  notes: 'Notes',
  copy: 'Copy as CSV',
  copyNights: 'Copy night by night',
  copied: 'The table is on the clipboard.',
  notCopied: 'The browser does not let the page write to the clipboard.',
  close: 'Close',
} as const;
