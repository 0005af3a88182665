import { describe, expect, it } from 'vitest';
import { parseBatch } from '../../../lib/node/batch/parse.ts';
import { LinewashError } from '../../../lib/plane/errors.ts';

const good = {
  targets: [{ name: 'Rim', masters: { H: 'h.fits', O: ['a.fits', 'b.fits'] } }],
  recipes: ['hoo'],
  outputs: ['{target}.tif'],
};

const faultsOf = (value: unknown): string[] => {
  try {
    parseBatch(JSON.stringify(value, null, 1), 'plan.json');
    return [];
  } catch (cause) {
    if (!(cause instanceof LinewashError)) throw cause;
    for (const fault of cause.faults) expect(fault.line).toBeGreaterThan(0);
    return cause.faults.map(({ path, message }) => `${path}: ${message}`);
  }
};

describe('parseBatch', () => {
  it('takes a small plan and a full one', () => {
    expect(faultsOf(good)).toEqual([]);
    expect(
      faultsOf({
        linewash: 1,
        about: 'all',
        targets: [
          { pattern: '{target}/{line}.fits', folder: 'stacks', lines: { red: 'H' }, only: ['Rim'], recipes: ['sho'] },
          { pattern: '{target}/{line}.fits', stars: '{target}/stars*.tif' },
          { ...good.targets[0], stars: ['r.fits', 'g.fits', 'b.fits'] },
          { ...good.targets[0], knobs: { share: 0.3 }, outputs: [{ file: 'x.png', bits: 8, size: 800, alpha: true }] },
        ],
        recipes: ['hoo', { recipe: 'ember', name: 'warm', knobs: { share: 0.4 } }, { recipe: { matrix: [] } }],
        into: 'pictures',
        outputs: ['{target}.tif', { file: '{target}.fits', bits: 32, space: 'srgb-linear' }],
        defaults: { bits: 16, size: 4000, stars: false, crop: true },
        sheet: { file: 'all.png', size: 200 },
      }),
    ).toEqual([]);
  });

  it.each([
    ['{"targets": []}', /\$\.targets: at least one/],
    [{ ...good, target: [] }, /\$\.target: unknown key \(did you mean targets\?\)/],
    [{ ...good, targets: [{ nam: 'x' }] }, /\$\.targets\[0\]\.nam: unknown key \(did you mean name\?\)/],
    [{ ...good, targets: [{ name: 'x' }] }, /\$\.targets\[0\]: a target has either/],
    [{ ...good, targets: [{ masters: { H: 'h' } }] }, /\$\.targets\[0\]\.name: this key is missing/],
    [{ ...good, targets: [{ ...good.targets[0], pattern: '{target}' }] }, /has either/],
    [{ ...good, targets: [{ pattern: 'x' }] }, /\$\.targets\[0\]\.pattern: the pattern does not say/],
    [{ ...good, targets: [{ ...good.targets[0], folder: 'x' }] }, /\.folder: belongs to a "pattern"/],
    [{ ...good, targets: [{ name: 'x', masters: { 'a b': 'h' } }] }, /a line is a letter/],
    [{ targets: good.targets, outputs: good.outputs }, /\.recipes: there are no recipes/],
    [{ targets: good.targets, recipes: good.recipes }, /\.outputs: there are no outputs/],
    [{ ...good, outputs: ['{target}.jpg'] }, /\$\.outputs\[0\]: the ending says no format/],
    [{ ...good, outputs: [{ file: '{target}.png', bits: 32 }] }, /\.bits: PNG is written with 16 or 8 bits/],
    [{ ...good, outputs: [{ file: '{target}.png', bits: 12 }] }, /\.bits: found 12; allowed: 8, 16, 32/],
    [{ ...good, outputs: [{ file: '{target}.png', siez: 9 }] }, /\.siez: unknown key \(did you mean size\?\)/],
    [{ ...good, outputs: [{ file: '{target}.png', size: 3 }] }, /at least 16/],
    [{ ...good, outputs: [7] }, /\$\.outputs\[0\]/],
    [{ ...good, sheet: { file: 'x.fits' } }, /\.file: a sheet is written as/],
    [{ ...good, targets: [{ ...good.targets[0], stars: ['r', 'g'] }] }, /\.stars: one picture is wanted, or three/],
    [{ ...good, targets: [{ ...good.targets[0], stars: 7 }] }, /\.stars: a picture of the stars is wanted/],
    [{ ...good, targets: [{ pattern: '{target}', stars: 's.tif' }] }, /\.stars: the pattern does not say where/],
    [
      { ...good, targets: [{ pattern: '{target}', stars: '{target}-{line}.tif' }] },
      /\.stars: \{line\} stands for nothing/,
    ],
    [{ ...good, outputs: [{ file: '{target}.png', stars: 'no' }] }, /\.stars: true or false is wanted/],
    [{ ...good, linewash: 2 }, /plans of version 1/],
    [{ ...good, recipes: [{ recipe: 'x', knobs: { a: 'b' } }] }, /\.knobs\.a: a number is wanted/],
  ])('%j', (value, message) => {
    expect(faultsOf(typeof value === 'string' ? JSON.parse(value) : value).join('\n')).toMatch(message);
  });

  it('gives line and column', () => {
    const text =
      '{\n "targets": [{"pattern": "{target}-{line}.fits"}],\n "recipes": ["sho"],\n "outputs": ["x.tif", "../y.tif"]\n}';
    const [fault] = (() => {
      try {
        parseBatch(text, 'plan.json');
        return [];
      } catch (cause) {
        return (cause as LinewashError).faults;
      }
    })();
    expect(fault).toMatchObject({ path: '$.outputs[1]', line: 4, column: 23 });
  });
});
