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
    const limits = { size: 16, bits: 8, space: 'display-p3', alpha: false };
    expect(faultsOf({ ...good, outputs: [{ file: 'a/{line}.tiff', ...limits }, 'b.fits'] })).toEqual([]);
    expect(faultsOf({ ...good, sheet: { file: 'x.tif', size: 100_000 } })).toEqual([]);
    expect(faultsOf({ ...good, sheet: null })).toEqual([]);
    // Recipes and outputs of each target serve for those of the plan.
    const [target] = good.targets;
    const own = { ...target, recipes: ['sho'], outputs: ['{target}.tif'] };
    expect(faultsOf({ targets: [own] })).toEqual([]);
    expect(faultsOf({ targets: [own, target] })).toHaveLength(2);
  });

  it.each([
    ['{"targets": []}', /\$\.targets: expected at least one/],
    [{ ...good, target: [] }, /\$\.target: unknown key \(did you mean targets\?\)/],
    [{ ...good, targets: [{ nam: 'x' }] }, /\$\.targets\[0\]\.nam: unknown key \(did you mean name\?\)/],
    [{ ...good, targets: [{ name: 'x' }] }, /\$\.targets\[0\]: a target has either/],
    [{ ...good, targets: [{ masters: { H: 'h' } }] }, /\$\.targets\[0\]\.name: this key is missing/],
    [{ ...good, targets: [{ ...good.targets[0], pattern: '{target}' }] }, /has either/],
    [{ ...good, targets: [{ pattern: 'x' }] }, /\$\.targets\[0\]\.pattern: the pattern does not contain/],
    [{ ...good, targets: [{ ...good.targets[0], folder: 'x' }] }, /\.folder: belongs to a "pattern"/],
    [{ ...good, targets: [{ name: 'x', masters: { 'a b': 'h' } }] }, /a line is a letter/],
    [{ targets: good.targets, outputs: good.outputs }, /\.recipes: there are no recipes/],
    [{ targets: good.targets, recipes: good.recipes }, /\.outputs: there are no outputs/],
    [{ ...good, outputs: ['{target}.gif'] }, /\$\.outputs\[0\]: unknown file extension/],
    [{ ...good, outputs: [{ file: '{target}.png', bits: 32 }] }, /\.bits: PNG is written with 16 or 8 bits/],
    [{ ...good, outputs: [{ file: '{target}.png', bits: 12 }] }, /\.bits: found 12; allowed: 8, 16, 32/],
    [{ ...good, outputs: [{ file: '{target}.png', siez: 9 }] }, /\.siez: unknown key \(did you mean size\?\)/],
    [{ ...good, outputs: [{ file: '{target}.png', size: 3 }] }, /at least 16/],
    [{ ...good, sheet: { fil: 'x.png' } }, /\$\.sheet\.fil: unknown key \(did you mean file\?\); keys: file, size$/],
    [{ ...good, sheet: { xyz: 1 } }, /keys: file, size$/],
    [
      { ...good, recipes: [{ recipe: 'x', nam: 'y' }] },
      /\.nam: unknown key \(did you mean name\?\); keys: recipe, name, knobs/,
    ],
    [{ ...good, recipes: [{ name: 'y' }] }, /\$\.recipes\[0\]\.recipe: this key is missing/],
    [
      { ...good, outputs: [{ fiel: '{target}.png' }] },
      /\.fiel: unknown key \(did you mean file\?\); keys: file, size, bits/,
    ],
    [{ ...good, outputs: [{ bits: 8 }] }, /\$\.outputs\[0\]\.file: this key is missing/],
    [{ ...good, defaults: { bit: 8 } }, /\$\.defaults\.bit: unknown key \(did you mean bits\?\); keys: size, bits/],
    [{ ...good, defaults: { file: 'x' } }, /\$\.defaults\.file: unknown key/],
    [{ ...good, targets: [{ ...good.targets[0], outputs: [{ siz: 9, file: 'x.png' }] }] }, /did you mean size/],
    [{ ...good, targets: ['Rim'] }, /\$\.targets\[0\]: expected an object/],
    [{ ...good, sheet: 'x.png' }, /\$\.sheet: expected an object/],
    [{ ...good, targets: [{ name: 'x', masters: {} }] }, /\$\.targets\[0\]\.masters: there is no master/],
    [{ ...good, targets: [{ ...good.targets[0], lines: { a: 'H' } }] }, /\.lines: belongs to a "pattern"/],
    [{ ...good, targets: [{ ...good.targets[0], only: ['x'] }] }, /\.only: belongs to a "pattern"/],
    [{ ...good, targets: [{ pattern: '{target}', name: 'x' }] }, /\.name: belongs to a target with "masters"/],
    [
      { ...good, targets: [{ ...good.targets[0], outputs: ['{target}.gif'] }] },
      /\$\.targets\[0\]\.outputs\[0\]: unknown file extension/,
    ],
    [{ ...good, outputs: [{ file: '{x}.png' }] }, /\$\.outputs\[0\]\.file: \{x\} has no meaning/],
    [{ ...good, sheet: { file: '{target}.png' } }, /\$\.sheet\.file: \{target\} has no meaning/],
    [{ ...good, sheet: { file: 'x.fits' } }, /\.file: a sheet is written as/],
    [{ ...good, sheet: { size: 15 } }, /\.size: at least 16/],
    [{ ...good, sheet: { size: 100001 } }, /\.size: at most 100000/],
    [{ ...good, outputs: [{ file: '{target}.png', size: 99.5 }] }, /a whole number/],
    [{ ...good, targets: [{ ...good.targets[0], masters: { H: '' } }] }, /the text is empty/],
    [{ ...good, targets: [{ ...good.targets[0], masters: { H: [] } }] }, /expected at least one/],
    [{ ...good, recipes: [] }, /\$\.recipes: expected at least one/],
    [{ ...good, recipes: [{ recipe: 'x', knobs: { a: null } }] }, /\.knobs\.a: expected a number/],
    [{ ...good, outputs: [7] }, /\$\.outputs\[0\]/],
    [{ ...good, sheet: { file: 'x.fits' } }, /\.file: a sheet is written as/],
    [{ ...good, targets: [{ ...good.targets[0], stars: ['r', 'g'] }] }, /\.stars: expected one picture, or three/],
    [{ ...good, targets: [{ ...good.targets[0], stars: 7 }] }, /\.stars: expected a picture of the stars/],
    [{ ...good, targets: [{ pattern: '{target}', stars: 's.tif' }] }, /\.stars: the pattern does not contain/],
    [{ ...good, targets: [{ pattern: '{target}', stars: '{target}-{line}.tif' }] }, /\.stars: \{line\} has no meaning/],
    [{ ...good, outputs: [{ file: '{target}.png', stars: 'no' }] }, /\.stars: expected true or false/],
    [{ ...good, linewash: 2 }, /plans of version 1/],
    [{ ...good, recipes: [{ recipe: 'x', knobs: { a: 'b' } }] }, /\.knobs\.a: expected a number/],
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
