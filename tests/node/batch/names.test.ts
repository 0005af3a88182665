import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { nameKey, safeName } from '../../../lib/node/batch/safe-name.ts';
import { fillTemplate, templateFault } from '../../../lib/node/batch/template.ts';

describe('safeName', () => {
  it.each([
    ['Rim of the Veil', 'Rim of the Veil'],
    ['Ἀλκυόνη', 'Ἀλκυόνη'.normalize('NFC')],
    ['星雲 7', '星雲 7'],
    ['a/b\\c:d', 'a_b_c_d'],
    ['what? *all*', 'what_ _all_'],
    ['"quoted"', '_quoted_'],
    ["it's", "it's"],
    ['-dash', '_dash'],
    ['.hidden', '_hidden'],
    ['dot.', 'dot_'],
    ['space ', 'space_'],
    ['..', '__'],
    ['', '_'],
    ['con', '_con'],
    ['LPT1.tif', '_LPT1.tif'],
    ['console', 'console'],
    ['line\nbreak\u001b[31m', 'line_break_[31m'],
    ['left\u202eright\u200b', 'left_right_'],
    ['cafe\u0301', 'café'],
  ])('%j → %j', (text, name) => {
    expect(safeName(text)).toBe(name);
  });

  it('cuts long names at a character and keeps two of them apart', () => {
    const long = '漢'.repeat(200);
    const [a, b] = [safeName(`${long}a`), safeName(`${long}b`)];
    expect(Buffer.byteLength(a)).toBeLessThanOrEqual(120);
    expect(a).not.toBe(b);
    expect(a).not.toContain('\ufffd');
  });

  it('gives a name that every system takes, whatever the text', () => {
    fc.assert(
      fc.property(fc.string({ unit: 'binary', maxLength: 300 }), (text) => {
        const name = safeName(text);
        expect(Buffer.byteLength(name)).toBeGreaterThan(0);
        expect(Buffer.byteLength(name)).toBeLessThanOrEqual(120);
        expect(name).not.toMatch(/[/\\:*?"<>|\p{Cc}\p{Cf}]|^[-. ]|[. ]$/u);
        expect(name.normalize('NFC')).toBe(name);
        expect(safeName(name)).toBe(name);
      }),
      { numRuns: 500 },
    );
  });
});

describe('nameKey', () => {
  it.each([
    ['Veil.tif', 'vEIL.TIF'],
    ['caf\u00e9', 'cafe\u0301'],
    ['STRASSE', 'straße'],
    ['ΣΟΦΟΣ', 'σοφος'],
    // CaseFolding.txt of Unicode: 03F4 folds to 03B8, 1E9E to ss.
    ['\u03f4', '\u03b8'],
    ['\u1e9e', 'ß'],
  ])('takes %j and %j for one', (a, b) => {
    expect(nameKey(a)).toBe(nameKey(b));
  });
  it('keeps others apart', () => {
    expect(nameKey('a b')).not.toBe(nameKey('a_b'));
  });
});

describe('templates of names', () => {
  it('fills in and makes each part safe', () => {
    const values = { target: '../../etc', recipe: 'a/b', line: 'SHO' };
    expect(fillTemplate('{target}/{recipe}-{line}.tif', values)).toBe('_.__._etc/a_b-SHO.tif');
  });
  it('keeps the ending of a long name', () => {
    const name = fillTemplate('{target} {recipe}.tif', { target: 'x'.repeat(400), recipe: 'y'.repeat(400) });
    expect(name).toMatch(/\.tif$/);
    expect(Buffer.byteLength(name)).toBeLessThanOrEqual(200);
  });
  it.each([
    ['/etc/{target}.tif', /relative/],
    ['C:\\{target}.tif', /relative/],
    ['../{target}.tif', /leaves its folder/],
    ['a//{target}.tif', /empty/],
    ['{targte}.tif', /\{targte\} has no meaning/],
    ['con/{target}.tif', /no name for all systems/],
  ])('%j is refused', (template, message) => {
    expect(templateFault(template, ['target', 'recipe', 'line'])).toMatch(message);
  });
  it('are refused whatever was looked at before', () => {
    const known = ['target', 'recipe'];
    expect(templateFault('{target}/{target} of the north {recipe}.tif', known)).toBeUndefined();
    expect(templateFault('{targte} {target}.tif', known)).toMatch(/\{targte\} has no meaning/);
    for (const _ of [1, 2, 3]) expect(templateFault('{target}/{recipe}: a.tif', known)).toBeUndefined();
  });
  it('takes the usual ones', () => {
    for (const template of ['{target}.tif', 'a/{target}/{target} {recipe}.png', '{line}/{target}-{recipe}.fits'])
      expect(templateFault(template, ['target', 'recipe', 'line'])).toBeUndefined();
  });
});
