import { expect, it } from 'vitest';
import { contrastRatio } from '../../lib/colour/contrast.ts';
import type { Triple } from '../../lib/plane/linear.ts';
import golden from '../golden/colour/contrast.json';

const rgb = (hex: string): Triple => {
  const long = hex.length === 4 ? hex.replace(/[0-9a-f]/g, '$&$&') : hex;
  return [1, 3, 5].map((at) => Number.parseInt(long.slice(at, at + 2), 16) / 255) as unknown as Triple;
};

it.each(golden.ratios as [string, string, number][])('%s on %s', (one, other, ratio) => {
  expect(contrastRatio(rgb(one), rgb(other))).toBeCloseTo(ratio, 9);
  expect(contrastRatio(rgb(other), rgb(one))).toBeCloseTo(ratio, 9);
});
