import { describe, expect, it } from 'vitest';
import { readPngNote } from '../../../lib/formats/png/note.ts';
import { memorySource } from '../../../lib/plane/bytes.ts';

const SIGNATURE = [0x89, 0x50, 0x4e, 0x47, 0x0d, 0x0a, 0x1a, 0x0a];
const utf8 = (text: string) => [...new TextEncoder().encode(text)];
const chunk = (type: string, data: readonly number[], length = data.length): number[] => [
  ...[24, 16, 8, 0].map((shift) => (length >>> shift) & 0xff),
  ...utf8(type),
  ...data,
  0,
  0,
  0,
  0,
];
const note = (text: string, keyword = 'linewash') => chunk('iTXt', utf8(`${keyword}\0\0\0\0\0${text}`));
const END = chunk('IEND', []);
const read = (...chunks: number[][]) =>
  readPngNote(memorySource('a.png', Uint8Array.from([...SIGNATURE, ...chunks.flat()])));

describe('the note of a PNG', () => {
  it.each(['{"a": 1}', '\ufeff{"a": "ä β"}', ''])('is what was written, to the byte: %j', async (text) => {
    expect(await read(chunk('IHDR', [1, 2, 3]), note(text), END)).toBe(text);
  });

  it('is not that of others', async () => {
    const others = [note('{}', 'Comment'), chunk('iTXt', utf8('line')), chunk('tEXt', utf8('linewash\0{}'))];
    expect(await read(...others, END)).toBeUndefined();
    expect(await read(...others, note('{"b": 2}'), END)).toBe('{"b": 2}');
  });

  it('is not looked for behind the end', async () => {
    expect(await read(END, note('{}'))).toBeUndefined();
    expect(await read()).toBeUndefined();
  });

  it('is refused where a chunk leaves the file, and where it is no PNG', async () => {
    await expect(read(chunk('IDAT', [1, 2], 99))).rejects.toMatchObject({ tag: 'format' });
    await expect(read([0, 0])).rejects.toMatchObject({ tag: 'format' });
    for (const bytes of [SIGNATURE.slice(0, 7), SIGNATURE.with(3, 0x48)])
      await expect(readPngNote(memorySource('a.png', Uint8Array.from(bytes)))).rejects.toThrow(/not a PNG/);
  });
});
