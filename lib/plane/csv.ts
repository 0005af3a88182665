const quoted = (value: string): string => (/[",\n\r]/.test(value) ? `"${value.replaceAll('"', '""')}"` : value);

/** A spreadsheet must not take a name for a formula. */
const plain = (value: string): string => (/^[=+\-@\t]/.test(value) ? `'${value}` : value);

/** Rows as CSV (RFC 4180); numbers keep their sign, texts that look like formulas stay texts. */
export const csvText = (rows: readonly (readonly (string | number | undefined)[])[]): string =>
  rows
    .map((row) =>
      row.map((value) => (typeof value === 'string' ? quoted(plain(value)) : String(value ?? ''))).join(','),
    )
    .map((line) => `${line}\r\n`)
    .join('');

/** A number as tables show it: no more than four places. */
export const placed = (value: number): number => Number(value.toFixed(4));
