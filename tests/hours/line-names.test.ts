import { describe, expect, it } from 'vitest';
import { underLineNames } from '../../lib/hours/line-names.ts';

describe('values by line', () => {
  const named = (values: Record<string, unknown>) => underLineNames('--cap', values, ['S', 'H', 'O']);

  it('stand under the names of the lines, however these are spelled', () =>
    expect(named({ '*': 1, H: 2, O3: 4, 's ii': 5 })).toEqual({ '*': 1, H: 2, O: 4, S: 5 }));

  it.each(['X', '', '__proto__'])('must name lines that are there, unlike %j', (word) =>
    expect(() => named(JSON.parse(`{ "*": 1, ${JSON.stringify(word)}: 3 }`))).toThrow(
      `--cap: there is no line ${JSON.stringify(word)}`,
    ),
  );
});
