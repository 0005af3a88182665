import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { TRANSFERS } from '../../lib/colour/transfer.ts';
import golden from '../golden/colour/transfer.json';

const { encode, decode } = TRANSFERS.srgb;

describe('sRGB transfer', () => {
  it.each(golden.decode)('decodes %d to %d', (value, light) => expect(decode(value!)).toBeCloseTo(light!, 15));
  it.each(golden.encode)('encodes %d to %d', (light, value) => expect(encode(light!)).toBeCloseTo(value!, 15));

  it('comes back from every 16-bit code', () => {
    for (let code = 0; code < 65536; code++) expect(Math.round(encode(decode(code / 65535)) * 65535)).toBe(code);
  });

  it('is odd and passes NaN', () => {
    fc.assert(
      fc.property(
        fc.double({ min: 0, max: 1e6, noNaN: true }),
        (v) => encode(-v) === -encode(v) && decode(-v) === -decode(v),
      ),
    );
    expect(encode(Number.NaN)).toBeNaN();
    expect(decode(Number.NaN)).toBeNaN();
  });

  it('rises at every step of 12 bits', () => {
    const steps = Array.from({ length: 4096 }, (_, i) => encode(i / 4095));
    expect(steps.every((value, i) => i === 0 || value > steps[i - 1]!)).toBe(true);
  });
});

it('linear transfer leaves values alone', () => {
  expect(TRANSFERS.linear.encode(0.3)).toBe(0.3);
  expect(TRANSFERS.linear.decode(-2)).toBe(-2);
});
