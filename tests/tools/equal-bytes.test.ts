import { expect, it } from 'vitest';

it('arrays of numbers are equal where their numbers are, and else not', () => {
  expect(Float32Array.of(1, Number.NaN)).toEqual(Float32Array.of(1, Number.NaN));
  expect({ a: [Uint8Array.of(1, 2)] }).toEqual({ a: [Uint8Array.of(1, 2)] });
  // Equal numbers of other bytes.
  expect(new Float32Array(Uint32Array.of(0x7fc00001).buffer)).toEqual(Float32Array.of(Number.NaN));
  expect(Uint8Array.of(1, 2)).not.toEqual(Uint8Array.of(1, 3));
  expect(Uint8Array.of(1, 2)).not.toEqual(Int8Array.of(1, 2));
  expect(Uint8Array.of(1)).not.toEqual(Uint8Array.of(1, 0));
  expect(Float32Array.of(0)).not.toEqual(Float32Array.of(-0));
});

it('large ones are compared in next to no time', () => {
  const large = new Uint8Array(2 ** 26).fill(3);
  // Number by number this would take a minute.
  expect(large.slice()).toEqual(large);
});
