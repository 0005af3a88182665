/** A typed number, or why it is not one. */
export type TypedNumber = { readonly value: number } | { readonly fault: 'empty' | 'not-a-number' | 'ambiguous' };

/** One to three digits, not just 0, a comma and three digits: a fraction to some, a thousand to others. */
const THOUSANDS = /^[+-]?(?!0+,)\d{1,3},\d{3}$/;

/**
 * Reads a number as people type it: decimal point or decimal comma, an optional sign (also the typographic minus), no
 * thousands separators; a fraction such as 1/3, or per cent. A text that could mean two numbers is refused.
 */
export const readNumber = (text: string): TypedNumber => {
  const plain = text.trim().replace(/[−–]/g, '-');
  if (plain.endsWith('%')) return changed(readPlain(plain.slice(0, -1).trim()), (value) => value / 100);
  const [over, under, ...more] = plain.split('/');
  if (under === undefined || more.length > 0) return readPlain(plain);
  const [above, below] = [readPlain(over!.trim()), readPlain(under.trim())];
  if (!('value' in below)) return below;
  return below.value === 0 ? { fault: 'not-a-number' } : changed(above, (value) => value / below.value);
};

const changed = (read: TypedNumber, change: (value: number) => number): TypedNumber =>
  'value' in read ? { value: Number(change(read.value).toPrecision(12)) } : read;

const readPlain = (plain: string): TypedNumber => {
  if (plain === '') return { fault: 'empty' };
  if ((plain.match(/[.,]/g) ?? []).length > 1 || THOUSANDS.test(plain)) return { fault: 'ambiguous' };
  const dotted = plain.replace(',', '.');
  if (!/^[+-]?(\d+\.?\d*|\.\d+)(e[+-]?\d+)?$/i.test(dotted)) return { fault: 'not-a-number' };
  const value = Number(dotted);
  return Number.isFinite(value) ? { value } : { fault: 'not-a-number' };
};

/** A number for a field: at least `digits` decimals, more where the value has them, never in exponent form below 1e6. */
export const showNumber = (value: number, digits = 2): string => {
  const short = value.toFixed(digits);
  const shown = Number(short) === value ? short : String(Number(value.toPrecision(6)));
  return Object.is(Number(shown), -0) ? shown.replace('-', '') : shown.replace('-', '−');
};

/** The same in little room: four decimals at most, or three digits of what is small. */
export const showShort = (value: number, digits = 2): string =>
  showNumber(Number(Math.abs(value) < 0.01 ? value.toPrecision(3) : value.toFixed(4)), digits);

/** A measured value for reading: four significant digits. */
export const showMeasured = (value: number): string => {
  const size = Math.abs(value);
  const text =
    size !== 0 && (size < 1e-3 || size >= 1e6) ? value.toExponential(2) : String(Number(value.toPrecision(4)));
  return text.replace('-', '−');
};

/** The value moved by whole steps and freed of the dust of binary fractions. */
export const stepNumber = (value: number, step: number, times: number): number =>
  Number((Math.round((value + step * times) / step) * step).toFixed(6));
