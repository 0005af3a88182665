import { converter, parse } from 'culori';
import { describe, expect, it } from 'vitest';
import { formatColour, formatHex } from '../../lib/colour/colour-text.ts';
import { encodeRgb } from '../../lib/colour/convert.ts';
import { parseColour } from '../../lib/colour/css.ts';
import { SPACES } from '../../lib/colour/spaces.ts';
import type { Triple } from '../../lib/plane/linear.ts';
import golden from '../golden/colour/spaces.json';
import { expectClose } from './close.ts';
import { randomColours } from './random.ts';

const { srgb } = SPACES;
const p3 = SPACES['display-p3'];
const rgbOf = (text: string, space = srgb): Triple => {
  const parsed = parseColour(text, space);
  if ('fault' in parsed) throw new Error(parsed.fault);
  return parsed.rgb;
};
const toLight = converter('lrgb');

describe('parseColour', () => {
  it.each([
    'red',
    'RebeccaPurple',
    '#f80',
    '#ff8800',
    '#FF8800FF',
    'rgb(255 136 0)',
    'rgb(255, 136, 0)',
    'rgb(100% 50% 0%)',
    'hsl(32 100% 50%)',
    'hsl(0.5turn 50% 50%)',
    'hwb(32 10% 20%)',
    'lab(60 40 50)',
    'lch(60 60 50)',
    'oklab(0.7 0.1 0.1)',
    'oklch(0.7 0.15 60)',
    'oklch(70% 0.15 60deg)',
    'color(srgb 1 0.5 0)',
    'color(display-p3 1 0 0)',
    'color(srgb-linear 0.2 0.4 0.6)',
    'color(xyz 0.3 0.4 0.2)',
    'color(xyz-d50 0.3 0.4 0.2)',
    'color(a98-rgb 0.3 0.4 0.2)',
    'color(prophoto-rgb 0.3 0.4 0.2)',
    '  teal  ',
  ])('%s as culori reads it', (text) => {
    const { r, g, b } = toLight(parse(text.trim())!);
    expectClose(rgbOf(text), [r, g, b].map(Number), 1e-6);
  });

  it('keeps what the space cannot show', () => {
    expect(rgbOf('color(display-p3 1 0 0)')[0]).toBeCloseTo(1.22494, 5);
    expectClose(rgbOf('color(display-p3 1 0 0)', p3), [1, 0, 0], 1e-12);
  });

  it('reads the rec2020 green printed in CSS Color 4', () => {
    const printed = golden.printed.rec2020.p3;
    expectClose(encodeRgb(rgbOf('color(rec2020 0.54 0.9 0)', p3), p3), printed, 5e-4);
  });

  it('takes none as 0', () => expect(rgbOf('oklch(0.5 none none)')[0]).toBeCloseTo(0.125, 6));

  it.each([
    '',
    'reddish',
    '#12',
    '#ggg',
    'rgb(1 2)',
    'color(nowhere 1 1 1)',
    'color()',
    'url(x)',
    'constructor',
    '__proto__',
    'toString',
    'rgb(calc(1) 2 3)',
    'rgb(1 2 3',
    'var(--x)',
    'currentcolor',
    'rgb(1e999 0 0)',
    'color(xyz 1e999 0 0)',
    'rgb(255 0 0 / 0.5)',
    'transparent',
    '#ff880080',
    'x'.repeat(201),
    `rgb(${'('.repeat(150)}`,
  ])('refuses %j', (text) => {
    const parsed = parseColour(text, srgb);
    expect('fault' in parsed && parsed.fault.length > 0).toBe(true);
  });
});

describe('formatting', () => {
  it.each(Object.values(SPACES))('$label comes back through CSS text', (space) => {
    const colours = randomColours(31, 100, -0.2, 1.2);
    for (let i = 0; i < colours.length; i += 3) {
      const rgb: Triple = [colours[i]!, colours[i + 1]!, colours[i + 2]!];
      const back = rgbOf(formatColour(rgb, space), space);
      expectClose(encodeRgb(back, space), encodeRgb(rgb, space), 1e-6);
    }
  });

  it('writes numbers plainly', () => {
    expect(formatColour([1, 0, -0], srgb)).toBe('color(srgb 1 0 0)');
    expect(formatColour([1e-9, 0.5, 1], SPACES['srgb-linear'])).toBe('color(srgb-linear 0 0.5 1)');
  });

  it('hex of every eighth of the range comes back', () => {
    for (let code = 0; code < 256; code += 32) {
      const hex = `#${[code, 255 - code, code >> 1].map((c) => c.toString(16).padStart(2, '0')).join('')}`;
      expect(formatHex(rgbOf(hex), srgb)).toBe(hex);
      expect(formatHex(rgbOf(hex, p3), p3)).toBe(hex);
    }
  });

  // The published values of CSS Color 4's constant-lightness reduction for the yellow of Display P3.
  it('brings other colours into sRGB', () => expect(formatHex([1, 1, 0], p3)).toBe('#fdfe00'));
});
