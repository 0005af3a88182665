import fc from 'fast-check';
import type { WrittenRecipe } from '../../../lib/recipe/written/schema.ts';

/** A number as recipes hold it: finite, and not −0, which JSON does not keep. */
const number = (min: number, max: number) => fc.double({ min, max, noNaN: true }).map((n) => n + 0);

const channelName = fc.stringMatching(/^[A-Za-z][A-Za-z0-9_+-]{0,6}$/);
const channels = fc.uniqueArray(channelName, { minLength: 1, maxLength: 8, selector: (name) => name.toLowerCase() });
const text = fc.string({ unit: 'grapheme', maxLength: 40 });

const stretch = fc.oneof(
  fc.record({ curve: fc.constant('bias' as const), background: number(0.001, 0.9) }, { requiredKeys: [] }),
  fc.record({ curve: fc.constant('asinh' as const), a: number(0.01, 1) }),
  fc.constant({ curve: 'linear' as const }),
  fc.record({ curve: fc.constant('points' as const), points: fc.constant<[number, number][]>([[0.2, 0.6]]) }),
);
const levels = fc.record(
  { black: fc.oneof(number(-1e3, 1e3), fc.record({ noise: number(-10, 10) })), white: number(1, 1e5) },
  { requiredKeys: [] },
);

const byChannel = <T>(names: readonly string[], entry: fc.Arbitrary<T>) =>
  fc.dictionary(fc.constantFrom('*', ...names), entry, { noNullPrototype: true });

/** Weights of ordinary size, as numbers or as expressions over the knob k. */
const weight = fc.oneof(number(-2, 2), fc.constantFrom('k', '1 - k', '2 * k ^ 2', 'max(k, 0.5)', '0.25', '-1'));

const matrixOf = <T>(entry: fc.Arbitrary<T>, width: number) =>
  fc.array(fc.array(entry, { minLength: width, maxLength: width }), { minLength: 3, maxLength: 3 });

const rest = (names: readonly string[]) =>
  fc.record(
    {
      linewash: fc.constant(2 as const),
      name: text,
      about: text,
      by: text,
      licence: fc.constant('CC0-1.0'),
      balance: fc.constantFrom('as-written' as const, 'absolute' as const),
      space: fc.constantFrom('srgb' as const, 'display-p3' as const, 'srgb-linear' as const),
      mixIn: fc.constantFrom('display' as const, 'light' as const),
      stretch: byChannel(names, stretch),
      levels: byChannel(names, levels),
      scale: fc.constantFrom('each' as const, 'together' as const),
      highlights: fc.constantFrom('ratio' as const, 'clip' as const),
      gamut: fc.constantFrom('smooth' as const, 'chroma' as const, 'clip' as const, 'css' as const),
      lightness: fc.constantFrom('least-noise', names[0]!),
      greenLimit: number(0, 1),
      'x-own': fc.jsonValue({ maxDepth: 2 }).filter((own) => !/proto|constructor/.test(JSON.stringify(own))),
    },
    { requiredKeys: [] },
  );

/** Recipes in row form with a knob and expressions. */
export const rowRecipe: fc.Arbitrary<WrittenRecipe> = channels.chain((names) =>
  fc.tuple(matrixOf(weight, names.length), rest(names), number(0, 1)).map(([matrix, more, value]) => ({
    ...more,
    channels: names,
    knobs: { k: { value, about: 'a knob' } },
    // A first weight of one keeps every balance possible.
    matrix: matrix.map((row, r) => row.map((w, c) => (r + c === 0 ? 1 : w))),
  })),
);

/** Recipes in row form with plain numbers, in and out of what a screen can show. */
export const plainRow = channels.chain((names) =>
  fc.tuple(matrixOf(number(-2, 2), names.length), rest(names)).map(([matrix, more]) => ({
    ...more,
    channels: names,
    matrix: matrix.map((row, r) => row.map((w, c) => (r + c === 0 ? 1 : w))),
  })),
);

const byte = fc.integer({ min: 0, max: 255 });
const colour = fc.oneof(
  fc.tuple(byte, byte, byte).map((rgb) => `#${rgb.map((v) => v.toString(16).padStart(2, '0')).join('')}`),
  fc.record({ wavelength: number(380, 780) }),
);

/** Recipes in line-colour form. */
export const lineRecipe: fc.Arbitrary<WrittenRecipe> = channels.chain((names) =>
  fc.tuple(fc.tuple(...names.map(() => colour)), rest(names)).map(([colours, { lightness: _, ...more }]) => ({
    ...more,
    balance: 'as-written' as const,
    channels: names,
    lines: Object.fromEntries(names.map((name, i) => [name, colours[i]!])),
  })),
);
