import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { parseColour } from '../../lib/colour/css.ts';
import { shortColour } from '../../lib/colour/short-css.ts';
import { SPACES } from '../../lib/colour/spaces.ts';

const spaces = Object.values(SPACES);
const digits = fc.array(fc.constantFrom(...'0123456789abcdefABCDEF'), { minLength: 6, maxLength: 6 });

/** Both readers say the same of a text that the short one knows. */
const agree = (text: string) => {
  for (const space of spaces) {
    const full = parseColour(text, space);
    const short = shortColour(text, space)!;
    if (!('rgb' in full)) throw new Error(full.fault);
    for (const c of [0, 1, 2]) expect(Math.abs(short[c]! - full.rgb[c]!)).toBeLessThan(1e-7);
  }
};

describe('short CSS colours', () => {
  it('are what the full reader makes of them: codes', () => {
    fc.assert(
      fc.property(digits, (six) => agree(`#${six.join('')}`)),
      { numRuns: 200 },
    );
    fc.assert(
      fc.property(digits, (six) => agree(`#${six.slice(3).join('')}`)),
      { numRuns: 50 },
    );
  });

  it('are what the full reader makes of them: OKLCH', () => {
    const part = (max: number) => fc.double({ min: 0, max, noNaN: true }).map((v) => v.toFixed(4));
    fc.assert(
      fc.property(part(1), part(0.4), part(360), (l, c, h) => agree(`oklch(${l} ${c} ${h})`)),
      { numRuns: 200 },
    );
  });

  it.each([
    'teal',
    '#12345',
    '#12345678',
    '#gggggg',
    'oklch(0.5 0.1 40 / 0.5)',
    'oklch(50% 0.1 40)',
    'oklch(2 0.1 40)',
    'oklch(0.5 -0.1 40)',
    'oklch(0.5 0.1 40deg)',
    '',
  ])('leave %j to the full reader', (text) => expect(shortColour(text, SPACES.srgb)).toBeUndefined());
});
