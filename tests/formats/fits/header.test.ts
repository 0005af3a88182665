import { describe, expect, it } from 'vitest';
import { plainBytes } from '../../../lib/formats/fits/bytes.ts';
import { countOf, numberOf, parseHeader, readHeader, stringOf } from '../../../lib/formats/fits/header.ts';
import { card, failure, header, source } from './build.ts';

const parse = (...cards: string[]) =>
  parseHeader(
    cards.map((line) => line.padEnd(80)),
    2880,
  );

describe('readHeader', () => {
  it('reads headers of many blocks', async () => {
    const cards = Array.from({ length: 500 }, (_, i) => card(`K${i}`, i));
    const read = await readHeader(plainBytes(source(header(...cards))), 0);
    expect(read.cards.length).toBe(500);
    expect(read.end).toBe(2880 * Math.ceil(501 / 36));
    expect(read.byKeyword.get('K499')?.value).toBe(499);
  });

  it('accepts a last block that is cut after END', async () => {
    const cut = header(card('A', 1)).slice(0, 200);
    expect((await readHeader(plainBytes(source(cut)), 0)).end).toBe(2880);
  });

  it('does not search binary data for END', async () => {
    const blocks = new Uint8Array(2880 * 4000);
    blocks.fill(0x20, 0, 2880);
    const error = await failure(readHeader(plainBytes(source(blocks)), 0));
    expect(error.message).toBe('the header has no END card (72 cards were searched)');
  });

  it('gives up after 8 MB of cards without END', async () => {
    const error = await failure(readHeader(plainBytes(source(new Uint8Array(2880 * 2900).fill(0x41))), 0));
    expect(error.message).toContain(`(${2800 * 36} cards`);
  });

  it('replaces control characters, keeps Latin-1 letters', async () => {
    const bytes = header("OBJECT  = 'a\x1b[31mb\x9bc\u00e9\x7f'");
    const read = await readHeader(plainBytes(source(bytes)), 0);
    expect(stringOf(read, 'OBJECT')).toBe('a\ufffd[31mb\ufffdcé\ufffd');
  });
});

describe('text in cards', () => {
  const object = async (bytes: readonly number[]) => {
    const text = header("OBJECT  = '1234567890'");
    text.set(bytes, text.indexOf(0x31));
    return stringOf(await readHeader(plainBytes(source(text)), 0), 'OBJECT');
  };
  const utf8 = (text: string) => [...new TextEncoder().encode(text)];

  it.each(['Hα', 'Ångström', '星雲', '🔭'])('is decoded where it is UTF-8: %s', async (text) => {
    const bytes = utf8(text);
    const [name, rest] = ['1234567890'.slice(bytes.length), await object(bytes)];
    expect(rest).toBe(`${text}${name}`);
  });

  it('is Latin-1 where it is not, letter by letter', async () => {
    expect(await object([0xe9, 0x74, 0xe9])).toBe('été4567890');
    // A letter cut in two, overlong forms and halves of surrogates.
    expect(await object([...utf8('α'), 0xce])).toBe('αÎ4567890');
    expect(await object([0xe0, 0x81, 0x81])).toBe('à\ufffd\ufffd4567890');
    expect(await object([0xed, 0xa0, 0xa1])).toBe('í\u00a0¡4567890');
  });

  it('never holds control characters, in either form', async () => {
    expect(await object(utf8('\u009b'))).toBe('\ufffd34567890');
    expect(await object([0x9b, 0x1b, 0x00])).toBe('\ufffd\ufffd\ufffd4567890');
  });
});

describe('END', () => {
  const ending = (...after: number[]) => {
    const bytes = header(card('A', 1));
    bytes.set(after, 80 + 3);
    return readHeader(plainBytes(source(bytes)), 0);
  };

  it('may be followed by NULs', async () => {
    const bytes = header(card('A', 1));
    bytes.fill(0, 83);
    const read = await readHeader(plainBytes(source(bytes)), 0);
    expect([read.cards.length, read.end]).toEqual([1, 2880]);
    expect((await ending(0, 32, 0)).end).toBe(2880);
  });

  it('is no longer word', async () => {
    expect((await failure(ending(0x44))).message).toContain('no END card');
    expect((await failure(ending(1))).message).toContain('no END card');
  });
});

describe('parseHeader', () => {
  it('ignores cards without "= ", names them, and takes the value from a card that has it', () => {
    const read = parse('BZERO   =1', card('BZERO', 2), "FILTER  ='Ha'", 'BZERO   =3');
    expect(numberOf('f', read, 'BZERO')).toBe(2);
    expect(stringOf(read, 'FILTER')).toBeUndefined();
    expect(read.warnings).toEqual([
      'cards without "= " in columns 9 and 10 have no value and are ignored: BZERO, FILTER, BZERO',
    ]);
    expect(() => countOf('f', parse('NAXIS   =2'), 'NAXIS')).toThrow(
      'NAXIS has no value, as columns 9 and 10 of its card are not "= "',
    );
  });

  it('joins CONTINUE strings and keeps blanks before &', () => {
    const { byKeyword, cards } = parse(
      "LONG    = 'one  &' / a",
      "CONTINUE  'two&' / b",
      "CONTINUE  '  three'",
      card('B', 1),
    );
    expect(byKeyword.get('LONG')).toMatchObject({ value: 'one  two  three', comment: 'a b' });
    expect(cards.length).toBe(2);
  });

  it('takes & literally where no CONTINUE follows', () => {
    expect(stringOf(parse("LONG    = 'one&'", card('B', 1)), 'LONG')).toBe('one&');
    expect(stringOf(parse("LONG    = 'one&'"), 'LONG')).toBe('one&');
    expect(stringOf(parse("LONG    = 'one&'", "CONTINUE  'two&'"), 'LONG')).toBe('onetwo&');
  });

  it('uses the first of two and warns where pixels depend on it', () => {
    const read = parse(card('BZERO', 1), card('BZERO', 2), card('OTHER', 1), card('OTHER', 2));
    expect(numberOf('f', read, 'BZERO')).toBe(1);
    expect(read.warnings).toEqual(['BZERO is given twice, as 1 and as 2; the first is used']);
    expect(parse(card('BZERO', 1), card('BZERO', 1)).warnings).toEqual([]);
  });

  it('warns of lower-case keywords and odd cards, five by name', () => {
    const lower = parse(card('bzero', 1), ...Array.from({ length: 6 }, (_, i) => card(`b${i}`, i)));
    expect(lower.warnings[0]).toMatch(/lower case.*: bzero, b0, b1, b2, b3 and 2 more$/);
    expect(parse('OBJECT  = odd').warnings[0]).toMatch(/kept as text: OBJECT$/);
  });
});

describe('values by keyword', () => {
  const read = parse(
    card('N', 12),
    card('NEGATIVE', -1),
    card('HALF', 0.5),
    card('TEXT', "'abc'"),
    card('EMPTY', ''),
    card('BIG', '1E300'),
  );

  it('gives numbers, undefined where there is none', () => {
    expect(numberOf('f', read, 'N')).toBe(12);
    expect(numberOf('f', read, 'EMPTY')).toBeUndefined();
    expect(numberOf('f', read, 'ABSENT')).toBeUndefined();
    expect(() => numberOf('f', read, 'TEXT')).toThrow('TEXT should be a number but reads "abc"');
    expect(stringOf(read, 'N')).toBeUndefined();
  });

  it('gives counts, and refuses what is none', () => {
    expect(countOf('f', read, 'N')).toBe(12);
    expect(countOf('f', read, 'ABSENT', 3)).toBe(3);
    expect(() => countOf('f', read, 'ABSENT')).toThrow('ABSENT is missing');
    for (const keyword of ['NEGATIVE', 'HALF', 'BIG'])
      expect(() => countOf('f', read, keyword)).toThrow('no possible count');
  });
});
