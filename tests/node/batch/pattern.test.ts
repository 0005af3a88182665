import { describe, expect, it } from 'vitest';
import { lineIn } from '../../../lib/measure/filters.ts';
import { matchPart, patternFault } from '../../../lib/node/batch/pattern.ts';
import { leastTime } from '../../processor-time.ts';

const isLine = (text: string) => lineIn(text) !== undefined;
const match = (part: string, name: string, before = {}) => matchPart(part, name, before, isLine);

describe('matchPart', () => {
  it.each([
    ['{target}-{line}.fits', 'Rim-H.fits', { target: 'Rim', line: 'H' }],
    ['{target}-{line}.fits', 'North-West Rim-Ha.fits', { target: 'North-West Rim', line: 'Ha' }],
    ['{line}-{target}.fits', 'OIII-North-Rim.fits', { target: 'North-Rim', line: 'OIII' }],
    ['{target}_{line}*.fits', 'Rim_SII_20h_v2.fits', { target: 'Rim', line: 'SII' }],
    ['{target}_{line}_*.fits', 'Rim_S2_stack.fits', { target: 'Rim', line: 'S2' }],
    ['{target} ?? {line}.tif', 'Rim 01 Oiii.tif', { target: 'Rim', line: 'Oiii' }],
    ['{target}-{line}.fits', "-it's [a] *star*?-O.fits", { target: "-it's [a] *star*?", line: 'O' }],
    ['{target}-{line}.fits', 'cafe\u0301-H.fits', { target: 'caf\u00e9', line: 'H' }],
    ['{target}-{target}-{line}.fits', 'Rim-Rim-H.fits', { target: 'Rim', line: 'H' }],
    ['{target} {line} {line}.fits', 'Rim H H.fits', { target: 'Rim', line: 'H' }],
    ['{target}-*.fits', 'Rim-.fits', { target: 'Rim' }],
    ['{target}{x-{line}.fits', 'Rim{x-H.fits', { target: 'Rim', line: 'H' }],
    ['master(1).{line}.{target}.fits', 'master(1).H.x.fits', { target: 'x', line: 'H' }],
  ])('%j finds in %j', (part, name, found) => {
    expect(match(part, name)).toEqual(found);
  });

  it.each([
    ['{target}-{line}.fits', 'Rim-flat.fits'],
    ['{target}-{line}.fits', '-H.fits'],
    ['{target}-{line}.fits', 'Rim-H.fits.bak'],
    ['{target}-{line}.fits', 'RimH.fits'],
    ['master(1)-{target}.fits', 'master1-x.fits'],
    ['{target}?.fits', 'R.fits'],
    ['{target}-{line}.fits', 'Rim-xHa.fits'],
    ['{line}{target}.fits', 'Hazel.fits'],
    ['{target}-{target}-{line}.fits', 'Rim-Arc-H.fits'],
    ['{target} {line} {line}.fits', 'Rim H O.fits'],
    [`{line}-{target}.fits`, `${'Ha'.padEnd(25, '_')}-Rim.fits`],
  ])('%j finds nothing in %j', (part, name) => {
    expect(match(part, name)).toBeUndefined();
  });

  it('wants the same target again', () => {
    expect(match('{target}-{line}.fits', 'Rim-H.fits', { target: 'Rim' })).toEqual({ target: 'Rim', line: 'H' });
    expect(match('{target}-{line}.fits', 'Arc-H.fits', { target: 'Rim' })).toBeUndefined();
  });

  it('is quick even on names made to be slow', async () => {
    const slow = () => {
      match('*a*a*a{target}*{line}.fits', `${'a'.repeat(200)}.fit`);
      match('*{target}*{target}*{line}.fits', `${'a'.repeat(60)}.fit`);
    };
    expect(await leastTime(slow)).toBeLessThan(2000);
  });
});

describe('patternFault', () => {
  it.each([
    ['{line}.fits', /does not contain \{target\}/],
    ['/x/{target}.fits', /relative/],
    ['../{target}.fits', /leaves its folder/],
    ['{target}/../{line}.fits', /leaves its folder/],
    ['{target}//{line}.fits', /part of it is empty/],
    ['{target}/', /part of it is empty/],
    ['./{target}.fits', /leaves its folder/],
    ['{target}-{}.fits', /\{\} has no meaning/],
    ['{target}{line}{target}{line}.fits', /more than three names/],
    ['{target}/{line}/{x}.fits', /\{x\} has no meaning/],
    ['{target}-{filter}.fits', /\{filter\} has no meaning/],
    ['{target}*******?*?*?*?*?*.fits', /wildcards/],
  ])('%j', (pattern, message) => {
    expect(patternFault(pattern)).toMatch(message);
  });
  it('takes folders', () => {
    expect(patternFault('{target}/{line}/*.fits')).toBeUndefined();
    expect(patternFault('{target}/{target}-{line}-{line}.fits')).toBeUndefined();
    expect(patternFault('...{target}/x.fits')).toBeUndefined();
    // Six wildcards in each part are few enough.
    expect(patternFault('{target}*?*?*/?*?*?{line}.fits')).toBeUndefined();
  });
});
