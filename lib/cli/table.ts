import { harmless } from './streams.ts';

/** Columns of text, numbers to the right, two spaces between; ends with a newline. */
export const table = (titles: readonly string[], rows: readonly (readonly string[])[]): string => {
  const cells = [titles, ...rows].map((row) => row.map(harmless));
  const widths = titles.map((_, c) => Math.max(...cells.map((row) => row[c]!.length)));
  const numeric = titles.map((_, c) => rows.length > 0 && rows.every((row) => /^[-−–\d]/.test(row[c]!)));
  const line = (row: readonly string[]) =>
    row
      .map((cell, c) => (numeric[c] ? cell.padStart(widths[c]!) : cell.padEnd(widths[c]!)))
      .join('  ')
      .trimEnd();
  return `${cells.map(line).join('\n')}\n`;
};
