import { NAMED_LINES } from '../../colour/named-lines.ts';
import { lineIn } from '../../measure/filters.ts';

/** The named line that stands for each line a channel can be recognised as. */
const NAMED: Readonly<Record<string, string>> = { S: 'SII', H: 'Ha', O: 'OIII', N: 'NII', Hb: 'Hb', He: 'HeII' };

export const wavelengthOf = (channel: string): number | undefined => {
  const line = lineIn(channel);
  return line === undefined ? undefined : NAMED_LINES.find(({ name }) => name === NAMED[line])?.wavelength;
};

/**
 * How warm a channel's colour is meant to be beside the others', −1…1: long wavelengths warm, short ones cool, channels
 * whose line is not recognised between. Where none is recognised the first is warm and the last cool.
 */
export const warmth = (channels: readonly string[]): number[] => {
  const known = channels.map(wavelengthOf);
  const found = known.filter((w) => w !== undefined);
  const middle = found.reduce((sum, w) => sum + w / found.length, 0);
  const values = found.length === 0 ? channels.map((_, i) => -i) : known.map((w) => w ?? middle);
  const mean = values.reduce((a, b) => a + b, 0) / values.length;
  const reach = Math.max(...values.map((v) => Math.abs(v - mean))) || 1;
  return values.map((v) => (v - mean) / reach);
};
