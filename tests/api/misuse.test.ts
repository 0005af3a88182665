import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import * as api from '../../lib/index.ts';
import * as nodeApi from '../../lib/node/index.ts';
import * as parts from '../../lib/node/parts/index.ts';
import { LinewashError } from '../../lib/plane/errors.ts';
import * as webApi from '../../lib/web/index.ts';
import { type Learnt, learn, type Path, placed, thrownBy } from './arguments.ts';

/** Takes any value on purpose. */
const TAKES_ALL = ['checkedRecipe', 'memorySink', 'LinewashError'];

/** Begins a file under any name that it is given. */
const BEGINS_FILES = ['fileSink'];

const functions = Object.entries({ ...webApi, ...nodeApi, ...parts }).filter(
  (entry): entry is [string, (...given: unknown[]) => unknown] =>
    typeof entry[1] === 'function' && !TAKES_ALL.includes(entry[0]),
);

/** Values that a program in plain JavaScript may hand over by mistake. */
const odd = fc.oneof(
  fc.constantFrom<unknown>(
    undefined,
    null,
    Number.NaN,
    -1,
    0.5,
    '',
    'u32',
    true,
    () => 1,
    Symbol('s'),
    10n,
    new Date(0),
  ),
  fc.constantFrom<unknown>([], [1, 2], {}, { width: 2 }, [{ name: 'H' }], new Float32Array(3), new Uint16Array(2)),
  fc.dictionary(fc.constantFrom('name', 'source', 'width', 'matrix', 'channels', 'plan', 'recipe'), fc.jsonValue()),
);

describe('wrong arguments', () => {
  it('are looked at by every function', () => expect(functions.length).toBeGreaterThan(50));

  it.each(functions)('%s answers with its own error', async (name, call) => {
    await fc.assert(
      fc.asyncProperty(fc.array(odd, { maxLength: 4 }), async (given) => {
        const cause = await thrownBy(() => call(...given));
        if (cause !== undefined) expect(cause, `${name} ${String(cause)}`).toBeInstanceOf(LinewashError);
      }),
      { numRuns: BEGINS_FILES.includes(name) ? 0 : 60 },
    );
    // Symbols are what nothing takes.
    expect(await thrownBy(() => call(Symbol('s')))).toMatchObject({
      tag: 'usage',
      message: expect.stringContaining(`${name}: argument 1`),
    });
  });
});

/** Which of its options each verb is seen to read. */
const optionsOf = ({ places }: Learnt): Path[] => places.filter(({ length }) => length === 2);

describe('one wrong value among right ones', () => {
  const learnt = new Map<string, Promise<Learnt>>();
  const learntOf = (name: string, call: (...given: unknown[]) => unknown): Promise<Learnt> => {
    const known = learnt.get(name) ?? learn(name, call);
    learnt.set(name, known);
    return known;
  };
  const learning = functions.filter(([name]) => !BEGINS_FILES.includes(name));

  it.each(learning)('%s answers with its own error', { timeout: 120_000 }, async (name, call) => {
    const { given, places } = await learntOf(name, call);
    if (places.length === 0) return;
    await fc.assert(
      fc.asyncProperty(fc.constantFrom(...places), odd, async (path, value) => {
        const cause = await thrownBy(() => call(...(placed(given, path, value) ?? given)));
        if (cause !== undefined) expect(cause, `${name} ${path} ${String(cause)}`).toBeInstanceOf(LinewashError);
      }),
      { numRuns: 60 },
    );
  });

  it.each(learning.filter(([name]) => name in nodeApi))('%s checks each option that it reads', async (name, call) => {
    const found = await learntOf(name, call);
    for (const path of optionsOf(found)) {
      const cause = await thrownBy(() => call(...placed(found.given, path, Symbol('s'))!));
      expect(cause, `${name} ${path}`).toMatchObject({ tag: 'usage', message: expect.stringContaining(`${name}: `) });
    }
  });

  it('finds the options of verbs by itself', async () => {
    const verbs = { ...nodeApi };
    const options = async (name: keyof typeof verbs) =>
      optionsOf(await learntOf(name, verbs[name] as never)).map(([, key]) => key);
    expect(await options('mixFiles')).toEqual(expect.arrayContaining(['recipe', 'inputs', 'output', 'cache', 'apart']));
    expect(await options('measureFiles')).toEqual(expect.arrayContaining(['inputs', 'at', 'background', 'progress']));
    expect(await options('hoursFiles')).toEqual(expect.arrayContaining(['recipe', 'lines', 'move', 'draws', 'time']));
    const { places } = await learntOf('hoursFiles', verbs.hoursFiles as never);
    expect(places).toContainEqual([0, 'lines', '*', 'readNoise']);
  });
});

const LINE = { name: 'H', background: 0, black: 0, white: 1, stretch: { curve: 'linear' } } as const;
const SETTLED = { mixIn: 'display', space: 'srgb', highlights: 'ratio', gamut: 'smooth' } as const;

describe('arguments that once gave skewed pictures', () => {
  const plane = (width: number, height: number, length = width * height) => ({
    width,
    height,
    data: new Float32Array(length).fill(0.5),
  });
  const source = parts.planeSource('a.fits', plane(4, 3));

  it.each<[string, () => unknown, RegExp]>([
    [
      'samples too few',
      () => parts.planeSource('a', plane(4, 3, 11)),
      /argument 2 does not fit: data must hold width × height/,
    ],
    [
      'a plain array of samples',
      () => parts.planeSource('a', { width: 1, height: 1, data: [1] as never }),
      /argument 2\.data is a plain array, expected a Float32Array/,
    ],
    [
      'a sample that is no output',
      () => parts.pictureInMemory({ width: 1, height: 1, sample: 'u32' as never, bands: 3 }),
      /argument 1\.sample is "u32", expected one of "u8", "u16", "f32"/,
    ],
    [
      'a mask of another size',
      () => parts.hidePixels(source, { width: 3, height: 4, stride: 1, bits: new Uint8Array(4) }),
      /the mask is 3 × 4 pixels, a\.fits is 4 × 3/,
    ],
    [
      'bytes in a plain array',
      () => parts.memorySource('a', [1, 2] as never),
      /argument 2 is a plain array, expected a Uint8Array/,
    ],
    [
      'masters without names',
      () => parts.measureChannels([source] as never),
      /argument 1\[0\]\.name is undefined, expected a text/,
    ],
    [
      'a picture of another size than its masters',
      () => {
        const info = { width: 2, height: 6, sample: 'u8', bands: 3 } as const;
        const settled = { ...SETTLED, channels: [LINE], matrix: [[1], [1], [1]] };
        return api.renderPicture([{ name: 'H', source }], settled, info, parts.pictureInMemory(info).writer);
      },
      /channel H is 4 × 3 pixels, the picture 2 × 6/,
    ],
    [
      'a picture file in a form that there is not',
      () =>
        nodeApi.mixFiles({
          recipe: api.catalogueRecipe('hoo')!,
          inputs: { H: 'h' },
          output: 'a.tif',
          sample: 'u32' as never,
        }),
      /mixFiles: argument 1\.sample is "u32"/,
    ],
    [
      'planes of two sizes',
      () => parts.sampleLines([LINE, { ...LINE, name: 'O' }], [plane(4, 3), plane(3, 4)]),
      /one plane is 3 × 4 pixels, another 4 × 3/,
    ],
  ])('%s', async (_, call, message) => {
    const cause = await thrownBy(call);
    expect(cause).toBeInstanceOf(LinewashError);
    expect(cause).toMatchObject({ tag: 'usage', message: expect.stringMatching(message) });
  });
});
