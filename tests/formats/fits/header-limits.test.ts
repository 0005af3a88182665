import { describe, expect, it } from 'vitest';
import { parseCard, parseContinuation } from '../../../lib/formats/fits/card.ts';
import { countOf, numberOf, parseHeader, stringOf } from '../../../lib/formats/fits/header.ts';
import { headerBytes } from '../../../lib/formats/fits/header-text.ts';
import { openFits } from '../../../lib/formats/fits/open.ts';
import { card, data, image, source } from './build.ts';

const parsed = (...lines: string[]) =>
  parseHeader(
    lines.map((line) => line.padEnd(80)),
    0,
  );

describe('a value that is not of the standard', () => {
  it.each(['x1', '1x', '1 2', '.', 'E5', '1e400', '--1', '(1', 'x(1)', '(1)x', 'TRUE'])('%s stays text', (text) => {
    expect(parseCard(`GAIN    = ${text}`.padEnd(80))).toMatchObject({ value: text, odd: expect.any(String) });
  });

  it('leaves a number with many digits after a bare point a number', () => {
    expect(parseCard('GAIN    = .125'.padEnd(80))).toMatchObject({ value: 0.125 });
  });

  it('leaves a comment where there is no value', () => {
    expect(parseCard('GAIN    = / none'.padEnd(80))).toEqual({
      keyword: 'GAIN',
      value: undefined,
      text: '',
      comment: 'none',
    });
  });
});

describe('a card without a value', () => {
  it.each(['COMMENT', 'HISTORY'])('%s is text also where it looks like one', (keyword) => {
    expect(parseCard(`${keyword.padEnd(8)}= 5 / five`.padEnd(80))).toMatchObject({
      keyword,
      value: undefined,
      comment: '= 5 / five',
    });
  });

  it('HIERARCH may be one', () => {
    expect(parseCard('HIERARCH in words'.padEnd(80))).toMatchObject({ value: undefined, comment: 'in words' });
    expect(parseCard('HIERARCH = 5'.padEnd(80))).toMatchObject({ value: undefined, comment: '= 5' });
  });

  it('CONTINUE goes on with a string, wherever that begins', () => {
    expect(parseContinuation("CONTINUE     'and more'".padEnd(80))).toMatchObject({ value: 'and more' });
    expect(parseContinuation('CONTINUE  and more'.padEnd(80))).toBeUndefined();
  });
});

describe('a header', () => {
  it.each(['COMMENT in the END     of it', 'END OF  = 1', 'ENDING  = 1'])('does not end with %s', async (line) => {
    const bytes = source(image(8, [2, 1], line, card('FILTER', "'Ha'")), data([1, 2]));
    expect((await openFits(bytes)).facts.filter).toBe('Ha');
  });

  it.each(['BZERO', 'NAXIS12', 'ZTILE12', 'ZCMPTYPE', 'ROWORDER'])('warns where %s stands twice', (keyword) => {
    const { warnings } = parsed(card(keyword, 1), card(keyword, 2));
    expect(warnings).toEqual([`${keyword} is given twice, as 1 and as 2; the first is used`]);
  });

  it.each(['XBZERO', 'BZEROX', 'XNAXIS1', 'NAXISX', 'Z', 'Z1', 'ZA1A', '1ZTILE'])(
    'does not where %s does',
    (keyword) => {
      expect(parsed(card(keyword, 1), card(keyword, 2)).warnings).toEqual([]);
    },
  );

  it('names at most five keywords in lower case', () => {
    const names = ['a', 'b-c', 'd_e', 'fA', 'Gg', 'h1'];
    const cards = names.map((name) => card(name, 1));
    expect(parsed(...cards.slice(0, 5)).warnings).toEqual([expect.stringMatching(/: a, b-c, d_e, fA, Gg$/)]);
    expect(parsed(...cards).warnings).toEqual([expect.stringMatching(/: a, b-c, d_e, fA, Gg and 1 more$/)]);
  });

  it('does not call words of HIERARCH, or text, keywords in lower case', () => {
    expect(parsed('HIERARCH eso det = 1', 'COMMENT in lower case', 'HIERARCH ESO dit = 2').warnings).toEqual([]);
  });

  it('keeps printable letters of Latin-1 and no others', async () => {
    const bytes = image(8, [2, 1], card('OBJECT', `'~\x7f\x80\x9f\xa0ÿ'`));
    const { cards } = (await openFits(source(bytes, data([1, 2])))).facts;
    expect(cards.find(({ keyword }) => keyword === 'OBJECT')!.value).toBe('~\ufffd\ufffd\ufffd\xa0ÿ');
  });

  it('says what stands where a number should, by its beginning', () => {
    const header = parsed(card('BZERO', `'${'x'.repeat(60)}'`), card('GAIN', 2), 'EMPTY   =');
    expect(() => numberOf('a.fits', header, 'BZERO')).toThrow(`reads "${'x'.repeat(40)}"`);
    expect(numberOf('a.fits', header, 'EMPTY')).toBeUndefined();
    expect(stringOf(header, 'GAIN')).toBeUndefined();
    expect(() => countOf('a.fits', header, 'EMPTY')).toThrow(/EMPTY is missing/);
    expect(countOf('a.fits', header, 'EMPTY', 3)).toBe(3);
  });
});

const lines = (value: string): string[] => {
  const text = Buffer.from(headerBytes([{ keyword: 'NOTE', value }])).toString('latin1');
  return (text.match(/.{80}/gs) ?? []).map((line) => line.trimEnd()).filter((line) => line !== '' && line !== 'END');
};

describe('a written string', () => {
  it('takes one card for 68 letters and two for 69', () => {
    expect(lines('x'.repeat(68))).toEqual([`NOTE    = '${'x'.repeat(68)}'`]);
    expect(lines('x'.repeat(69))).toEqual([`NOTE    = '${'x'.repeat(67)}&'`, "CONTINUE  'xx'"]);
  });

  it('is broken inside words, not at blanks, quotes or ampersands', () => {
    const value = "it's a & b and so on ".repeat(12).trimEnd();
    const pieces = lines(value).map((line) => /'(.*?)&?'$/.exec(line.slice(10))![1]!);
    expect(pieces.length).toBeGreaterThan(3);
    expect(pieces.join('').replaceAll("''", "'")).toBe(value);
    for (const piece of pieces.slice(0, -1)) expect(piece).toMatch(/[^' &]$/);
    for (const piece of pieces.slice(1)) expect(piece).toMatch(/^[^' &]/);
  });

  it('is broken where it must where nothing but blanks are near', () => {
    const value = `${'x'.repeat(19)}${' '.repeat(60)}y`;
    expect(lines(value)[0]).toBe(`NOTE    = '${'x'.repeat(19)}${' '.repeat(48)}&'`);
  });
});

describe('a comment behind a value', () => {
  it.each<[string, number | string]>([
    ['a number', 300],
    ['a text', 'H-alpha'],
  ])('is cut where the card ends: %s', (_, value) => {
    const bytes = headerBytes([{ keyword: 'NOTE', value, comment: 'x'.repeat(100) }]);
    const text = new TextDecoder().decode(bytes);
    expect(text.slice(0, 80)).toMatch(/^NOTE {4}= .{20} \/ x{47}$/);
    expect(text.slice(80)).toBe('END'.padEnd(2880 - 80));
  });
});
