import { mkdirSync, mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterAll, describe, expect, it } from 'vitest';
import { fileFacts, recollection } from '../../../lib/node/files/file-identity.ts';
import { openFile } from '../../../lib/node/files/file-source.ts';
import { hashFile } from '../../../lib/node/files/hash-file.ts';
import { chooseFile, exists, splitFiles } from '../../../lib/node/files/spelling.ts';

const folder = mkdtempSync(join(tmpdir(), 'linewash-spelling-'));
afterAll(() => rmSync(folder, { recursive: true, force: true }));
const at = (name: string) => join(folder, name);
for (const name of ['a.fits', 'b.fits', 'o,1.fits', 'odd[2].fits', 'odd#1', 'x', 'x,y', 'x,y,z'])
  writeFileSync(at(name), name);
mkdirSync(at('folder'));

describe('the spelling of a file', () => {
  it('may choose a part and a plane, unless a file has that very name', async () => {
    expect(await chooseFile(at('a.fits[2]#3'))).toEqual({
      spelling: at('a.fits[2]#3'),
      path: at('a.fits'),
      selector: { part: 2, plane: 2 },
    });
    expect(await chooseFile(at('a.fits'))).toEqual({ spelling: at('a.fits'), path: at('a.fits'), selector: {} });
    expect(await chooseFile(at('odd#1'))).toEqual({ spelling: at('odd#1'), path: at('odd#1'), selector: {} });
    expect(await chooseFile(at('folder#1'))).toMatchObject({ path: at('folder'), selector: { plane: 0 } });
  });

  it.each(['a.fits[0][0]', 'a.fits#1[0]', 'a.fits[0][1]#2'])('names one part: %s', async (spelling) => {
    await expect(chooseFile(at(spelling))).rejects.toMatchObject({
      tag: 'format',
      message: 'it names more than one part, or a plane before the part',
      advice: expect.stringContaining('a.fits[0.0] for the first picture inside it'),
    });
    expect((await chooseFile(at('odd[2].fits[0]'))).path).toBe(at('odd[2].fits'));
    expect((await chooseFile(at('odd#1[0]'))).path).toBe(at('odd#1'));
  });

  it('may stand for several files; commas within the longest names that exist do not separate', async () => {
    const paths = async (spelling: string) =>
      (await splitFiles(spelling)).map(({ path }) => path.slice(folder.length + 1));
    expect(await paths(`${at('a.fits')},${at('b.fits')}`)).toEqual(['a.fits', 'b.fits']);
    expect(await paths(`${at('o,1.fits')},${at('b.fits')}`)).toEqual(['o,1.fits', 'b.fits']);
    expect(await paths(`${at('b.fits')},${at('o,1.fits')}`)).toEqual(['b.fits', 'o,1.fits']);
    expect(await paths(at('x,y,z'))).toEqual(['x,y,z']);
    expect(await paths(`${at('x,y')},${at('x')}`)).toEqual(['x,y', 'x']);
    const [first, second] = await splitFiles(`${at('a.fits')}[1],${at('b.fits')}#2`);
    expect([first!.selector, second!.selector]).toEqual([{ part: 1 }, { plane: 1 }]);
  });

  it('of files that are not there separates at each comma', async () =>
    expect((await splitFiles('no1,no2')).map(({ path }) => path)).toEqual(['no1', 'no2']));

  it('tells files from folders', async () => {
    expect(await Promise.all([at('a.fits'), at('folder'), at('none')].map(exists))).toEqual([true, false, false]);
    await expect(openFile(at('folder'), 'as given')).rejects.toMatchObject({ tag: 'input', file: 'as given' });
    await expect(openFile(at('none'))).rejects.toThrow(/no such file/);
  });
});

describe('what is remembered of files', () => {
  it('is the newest and what was asked for last', () => {
    const memory = recollection<number>(2);
    memory.set('a', 1);
    memory.set('b', 2);
    expect(memory.get('a')).toBe(1);
    memory.set('c', 3);
    expect(['a', 'b', 'c'].map((key) => memory.get(key))).toEqual([1, undefined, 3]);
    memory.set('a', 4);
    memory.set('d', 5);
    expect(['a', 'c', 'd'].map((key) => memory.get(key))).toEqual([4, undefined, 5]);
  });

  it('goes by an identity that a change of the bytes changes', () => {
    const before = fileFacts(at('a.fits'));
    expect(before.size).toBe('a.fits'.length);
    expect(fileFacts(at('a.fits')).identity).toBe(before.identity);
    writeFileSync(at('a.fits'), 'longer than before');
    expect(fileFacts(at('a.fits')).identity).not.toBe(before.identity);
    expect(fileFacts(at('b.fits')).identity).not.toBe(before.identity);
    expect(() => fileFacts(at('none'))).toThrow(/no such file/);
  });
});

describe('the hash of a file', () => {
  // SHA-256 of "abc" and of a million times "a": FIPS 180-2, B.1 and B.3.
  it.each([
    ['abc', 'ba7816bf8f01cfea414140de5dae2223b00361a396177a9cb410ff61f20015ad'],
    ['a'.repeat(1_000_000), 'cdc76e5c9914fb9281a1c7e284d73e67f1809a48a497200e046d39ccc7112cd0'],
  ])('is its SHA-256', (text, hash) => {
    writeFileSync(at('hashed'), text);
    expect(hashFile(at('hashed'))).toBe(hash);
  });

  it('is none where the work is stopped or the file is gone', () => {
    expect(hashFile(at('hashed'), () => false)).toBeUndefined();
    expect(() => hashFile(at('none'))).toThrow(/no such file/);
  });
});
