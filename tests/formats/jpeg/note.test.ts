import { describe, expect, it } from 'vitest';
import { readJpegNote } from '../../../lib/formats/jpeg/note.ts';
import { jpegEncoder } from '../../../lib/formats/jpeg/write.ts';
import { memorySource } from '../../../lib/plane/bytes.ts';
import { LinewashError } from '../../../lib/plane/errors.ts';
import { info } from '../pictures.ts';
import { segment } from './segments.ts';

const START = [0xff, 0xd8];
const SCAN = segment(0xda, [0]);
const utf8 = (text: string) => [...new TextEncoder().encode(text)];
const note = '{"linewash":1}';
const read = (...parts: readonly number[][]) =>
  readJpegNote(memorySource('a.jpg', Uint8Array.from([...START, ...parts.flat()])));

describe('the note of a JPEG', () => {
  it.each([1, 65532, 65533, 65534, 2 * 65533, 200_001])('is what was written, to the byte: %i long', async (length) => {
    const text = `{"linewash":${'7'.repeat(Math.max(1, length - 13))}}`;
    const { head } = jpegEncoder({ ...info(9, 9, 3, 'u8'), note: text });
    expect(await readJpegNote(memorySource('a.jpg', head))).toBe(text);
  });

  it('is found behind fill bytes and comments of others, and in UTF-8', async () => {
    const other = segment(0xfe, utf8('made by somebody'));
    const text = '{"linewash":"ä 🔭"}';
    expect(await read(segment(0xe1, []), other, [0xff, 0xff], segment(0xfe, utf8(text)), SCAN)).toBe(text);
    expect(await read(other, segment(0xfe, utf8('{"other":1}')), segment(0xe0, utf8(note)), SCAN)).toBeUndefined();
    expect(await read(SCAN, segment(0xfe, utf8(note)))).toBeUndefined();
    expect(await read([0xff, 0xd9, 0, 0])).toBeUndefined();
  });

  const full = utf8(note.padEnd(65533));
  const cases: [string, number[][], string][] = [
    ['an end before the note', [segment(0xe0, [1, 2])], 'ends early'],
    ['a segment that leaves the file', [segment(0xfe, utf8(note), 200)], 'ends early'],
    ['a segment shorter than its length', [segment(0xfe, [], 1), SCAN], 'a segment of 1 bytes'],
    ['no marker', [segment(0xe0, [1]), [1, 2, 3, 4]], 'no marker where one must be, at byte 7'],
    ['a restart before the picture', [segment(0xd3, []), SCAN], 'marker 211 before the picture begins'],
    ['a second start', [START, SCAN], 'marker 216 before'],
    ['a stuffed byte', [[0xff, 0, 0, 0]], 'marker 0 before'],
    ['a note without its rest', [segment(0xfe, full), SCAN], 'its note ends early'],
    ['a note with another segment within', [segment(0xfe, full), segment(0xe0, []), SCAN], 'its note ends early'],
  ];
  it.each(cases)('is refused where it is damaged: %s', async (_name, parts, words) => {
    const fault = await read(...parts).catch((cause: unknown) => cause);
    expect(fault).toBeInstanceOf(LinewashError);
    expect(fault).toMatchObject({ tag: 'format', message: expect.stringContaining(words) });
  });

  it('is refused in what is no JPEG', async () => {
    for (const bytes of [[], [0xff], [0xff, 0xd9], [0xd8, 0xff]])
      await expect(readJpegNote(memorySource('a.jpg', Uint8Array.from(bytes)))).rejects.toThrow('not a JPEG file');
  });

  it('costs a bounded number of reads and bytes', async () => {
    const segments = new Uint8Array(2 + 4 * 100_000);
    segments.set(START);
    for (let at = 2; at < segments.length; at += 4) segments.set([0xff, 0xe5, 0, 2], at);
    let reads = 0;
    const source = memorySource('a.jpg', segments);
    const counted: typeof source = {
      ...source,
      read(at, length) {
        reads++;
        return source.read(at, length);
      },
    };
    await expect(readJpegNote(counted)).rejects.toThrow('more segments than any picture needs');
    expect(reads).toBeLessThan(5000);
    // The longest note there may be, and one that is longer.
    const one = Uint8Array.from(segment(0xfe, full));
    const many = (count: number) => Buffer.concat([Uint8Array.from(START), ...Array(count).fill(one)]);
    await expect(readJpegNote(memorySource('a.jpg', many(257)))).rejects.toThrow('longer than 16777216 bytes');
  });
});
