import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import * as api from '../../lib/index.ts';
import * as nodeApi from '../../lib/node/index.ts';
import { LinewashError } from '../../lib/plane/errors.ts';
import * as webApi from '../../lib/web/index.ts';

/** What a call throws or rejects with. */
const thrownBy = async (call: () => unknown): Promise<unknown> => {
  try {
    await call();
    return undefined;
  } catch (cause) {
    return cause;
  }
};

/** Takes any value on purpose. */
const TAKES_ALL = ['checkedRecipe', 'memorySink', 'LinewashError'];

/** Begins a file under any name that it is given. */
const BEGINS_FILES = ['fileSink'];

const functions = Object.entries({ ...webApi, ...nodeApi }).filter(
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

describe('arguments that once gave skewed pictures', () => {
  const plane = (width: number, height: number, length = width * height) => ({
    width,
    height,
    data: new Float32Array(length).fill(0.5),
  });
  const source = api.planeSource('a.fits', plane(4, 3));

  it.each<[string, () => unknown, RegExp]>([
    [
      'samples too few',
      () => api.planeSource('a', plane(4, 3, 11)),
      /argument 2 does not fit: data must hold width × height/,
    ],
    [
      'a plain array of samples',
      () => api.planeSource('a', { width: 1, height: 1, data: [1] as never }),
      /argument 2\.data is a plain array, expected a Float32Array/,
    ],
    [
      'a sample that is no output',
      () => api.pictureInMemory({ width: 1, height: 1, sample: 'u32' as never, bands: 3 }),
      /argument 1\.sample is "u32", expected one of "u8", "u16", "f32"/,
    ],
    [
      'a mask of another size',
      () => api.hidePixels(source, { width: 3, height: 4, stride: 1, bits: new Uint8Array(4) }),
      /the mask is 3 × 4 pixels, a\.fits is 4 × 3/,
    ],
    [
      'bytes in a plain array',
      () => api.memorySource('a', [1, 2] as never),
      /argument 2 is a plain array, expected a Uint8Array/,
    ],
    [
      'masters without names',
      () => api.measureChannels([source] as never),
      /argument 1\[0\]\.name is undefined, expected a text/,
    ],
    [
      'a picture of another size than its masters',
      () => {
        const info = { width: 2, height: 6, sample: 'u8', bands: 3 } as const;
        const settled = { channels: [{ name: 'H' }], matrix: [[1], [1], [1]] } as never;
        return api.renderPicture([{ name: 'H', source }], settled, info, api.pictureInMemory(info).writer);
      },
      /channel H is 4 × 3 pixels, the picture 2 × 6/,
    ],
    [
      'a picture file in a form that there is not',
      () =>
        nodeApi.mixFiles({ recipe: api.catalogueRecipe('hoo')!, inputs: {}, output: 'a.tif', sample: 'u32' as never }),
      /mixFiles: argument 1\.sample is "u32"/,
    ],
    [
      'planes of two sizes',
      () => api.sampleLines([{ name: 'H' }, { name: 'O' }] as never, [plane(4, 3), plane(3, 4)]),
      /one plane is 3 × 4 pixels, another 4 × 3/,
    ],
  ])('%s', async (_, call, message) => {
    const cause = await thrownBy(call);
    expect(cause).toBeInstanceOf(LinewashError);
    expect(cause).toMatchObject({ tag: 'usage', message: expect.stringMatching(message) });
  });
});
