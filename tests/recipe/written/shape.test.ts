import * as v from 'valibot';
import { describe, expect, it } from 'vitest';
import { keysAt, listFaults } from '../../../lib/recipe/written/shape.ts';

const schema = v.strictObject({
  name: v.optional(v.string()),
  levels: v.record(v.string(), v.strictObject({ black: v.number(), white: v.number() })),
  boxes: v.array(v.strictObject({ left: v.number() })),
  scale: v.union([v.picklist(['each', 'fit']), v.strictObject({ mode: v.string(), to: v.string() })]),
});

describe('the keys that a schema knows', () => {
  it.each<[(string | number)[], string[]]>([
    [[], ['name', 'levels', 'boxes', 'scale']],
    [['name'], []],
    [
      ['levels', 'anything'],
      ['black', 'white'],
    ],
    [['boxes', 3], ['left']],
    [['scale'], ['mode', 'to']],
    [['unheard', 'of'], []],
  ])('at %j', (path, keys) => {
    expect(keysAt(schema as never, path)).toEqual(keys);
  });
});

describe('a list in place of an object', () => {
  it('is found wherever it stands', () => {
    expect(listFaults({ levels: [], boxes: [{ left: [] }] }, { levels: {}, boxes: [{ left: {} }] })).toMatchObject([
      { path: ['levels'] },
      { path: ['boxes', 0, 'left'] },
    ]);
  });

  it('is no fault of a list', () => {
    expect(listFaults({ boxes: [1, null] }, { boxes: [1, null] })).toEqual([]);
  });
});
