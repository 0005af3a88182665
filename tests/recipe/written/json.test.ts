import { describe, expect, it } from 'vitest';
import type { LinewashError } from '../../../lib/plane/errors.ts';
import { jsonPath, parseJson } from '../../../lib/recipe/written/json.ts';
import { leastTime } from '../../processor-time.ts';

const faultsOf = (text: string) => {
  try {
    parseJson(text, 'some.json');
  } catch (cause) {
    return (cause as LinewashError).toFields();
  }
  throw new Error('no fault was found');
};

describe('JSON', () => {
  it('is read with the places of its parts', () => {
    const { value, place } = parseJson('{\n  "a": [1,\n 22],\n"b": {"c": null}}');
    expect(value).toEqual({ a: [1, 22], b: { c: null } });
    expect(place(['a'])).toEqual({ line: 2, column: 8 });
    expect(place(['a', 1])).toEqual({ line: 3, column: 2 });
    expect(place(['b', 'c'])).toEqual({ line: 4, column: 12 });
    // What is not there is placed at its parent.
    expect(place(['b', 'missing', 3])).toEqual({ line: 4, column: 6 });
    expect(place(['nowhere'])).toEqual({ line: 1, column: 1 });
  });

  it('may begin with a byte-order mark, which counts as no column', () => {
    const { value, place } = parseJson('\ufeff{"a": 1}');
    expect(value).toEqual({ a: 1 });
    expect(place(['a'])).toEqual({ line: 1, column: 7 });
  });

  it.each([
    ['', 1, 1, /empty/],
    ['  \n ', 1, 1, /empty/],
    ['{"a": NaN}', 1, 7, /not valid JSON/],
    ['{"a": 1,}', 1, 9, /not valid JSON/],
    ['{"a": 1\n"b": 2}', 2, 1, /not valid JSON/],
    ['{"a": 01}', 1, 8, /not valid JSON/],
    ['{"a": .5}', 1, 7, /not valid JSON/],
    ['{"a": 0x10}', 1, 8, /not valid JSON/],
    ["{'a': 1}", 1, 2, /not valid JSON/],
    ['{"a": 1} // no', 1, 10, /not valid JSON/],
    ['{"a": 1} {}', 1, 10, /not valid JSON/],
    ['{"a": [1, 2', 1, 12, /not valid JSON/],
    ['{"a": "\t"}', 1, 7, /not valid JSON/],
    ['{"a": "\\x"}', 1, 7, /not valid JSON/],
  ])('%j is refused at line %d, column %d', (text, line, column, message) => {
    const { tag, file, faults } = faultsOf(text);
    expect([tag, file]).toEqual(['recipe', 'some.json']);
    expect(faults![0]).toMatchObject({ line, column, message: expect.stringMatching(message) });
  });

  it('refuses a key that stands twice, wherever it stands', () => {
    expect(faultsOf('{"a": 1,\n "b": {"c": 1, "c": 2}, "a": 3}').faults).toEqual([
      { path: '$.b.c', message: 'this key is listed twice', line: 2, column: 16 },
      { path: '$.a', message: 'this key is listed twice', line: 2, column: 25 },
    ]);
    // Spelled differently, the key is the same.
    expect(faultsOf('{"a": 1, "\\u0061": 2}').faults).toHaveLength(1);
  });

  it.each(['__proto__', 'constructor', 'prototype'])('refuses the key %s', (key) => {
    const before = Object.keys(Object.prototype);
    expect(faultsOf(`{"a": [{"${key}": {"polluted": true}}]}`).faults).toMatchObject([{ path: `$.a[0].${key}` }]);
    expect(Object.keys(Object.prototype)).toEqual(before);
    expect(({} as { polluted?: boolean }).polluted).toBeUndefined();
  });

  it('limits length and depth before it parses', async () => {
    expect(parseJson(`${'['.repeat(32)}${']'.repeat(32)}`).value).toBeDefined();
    expect(faultsOf(`${'['.repeat(33)}${']'.repeat(33)}`).faults![0]).toMatchObject({
      message: 'nested more than 32 deep',
      column: 33,
    });
    const refused = () => {
      expect(faultsOf('['.repeat(1_000_000)).faults![0]!.message).toMatch(/nested/);
      expect(faultsOf(`"${'x'.repeat(1 << 20)}"`).faults![0]!.message).toMatch(/longer than/);
    };
    expect(await leastTime(refused)).toBeLessThan(200);
    // Brackets inside text are not depth.
    expect(parseJson(`["${'['.repeat(100)}\\"${'['.repeat(100)}"]`).value).toHaveLength(1);
  });

  it('writes paths so that they can be read back', () => {
    expect(jsonPath(['matrix', 0, 1])).toBe('$.matrix[0][1]');
    expect(jsonPath(['stretch', '*', 'a b', "it's"])).toBe("$.stretch['*']['a b']['it\\'s']");
    expect(jsonPath([])).toBe('$');
  });
});
