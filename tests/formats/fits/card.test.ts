import { describe, expect, it } from 'vitest';
import { parseCard, parseContinuation } from '../../../lib/formats/fits/card.ts';

// Forms of FITS standard 4.0, section 4.2, unless said otherwise.
describe('parseCard', () => {
  it.each([
    ["OBJECT  = 'NGC 1'", 'NGC 1'],
    ["OBJECT  = 'O''Neil  '", "O'Neil"],
    ["OBJECT  = '  leading blanks count'", '  leading blanks count'],
    ["OBJECT  = ''", ''],
    ["FILTER  = '656e0   '", '656e0'],
    ['SIMPLE  =                    T', true],
    ['EXTEND  =                    F / no more', false],
    ['NAXIS   =                    2', 2],
    ['NAXIS   = 2', 2],
    ['BSCALE  =              1.5D-03', 0.0015],
    ['BSCALE  = 1.5d3 / lower', 1500],
    ['BZERO   = -.5E+1', -5],
    ['BZERO   = +3.', 3],
    ['Z       = (1.0, -2.0)', '(1.0, -2.0)'],
    ['GAIN    =                     / no value', undefined],
    ['GAIN    =', undefined],
  ])('%s', (line, value) => {
    const card = parseCard(line.padEnd(80));
    expect(card.value).toBe(value);
    expect(card.odd).toBeUndefined();
  });

  it('keeps comments, also with slashes in the string', () => {
    expect(parseCard("A       = 'a/b' / c / d".padEnd(80))).toEqual({
      keyword: 'A',
      value: 'a/b',
      text: 'a/b',
      comment: 'c / d',
    });
  });

  it.each([
    ['COMMENT   = no value here', 'COMMENT', '  = no value here'.slice(1)],
    ['HISTORY made today', 'HISTORY', 'made today'],
    ['        = ', '', '= '.trimEnd()],
    ['LONGKEYWORDNAME=                 3', 'LONGKEYW', 'ORDNAME=                 3'],
    ['', '', undefined],
  ])('commentary: %s', (line, keyword, comment) => {
    const card = parseCard(line.padEnd(80));
    expect([card.keyword, card.value, card.comment]).toEqual([keyword, undefined, comment]);
  });

  it('keeps odd values as text and says what is odd', () => {
    expect(parseCard('OBJECT  = M42 unquoted')).toMatchObject({
      value: 'M42 unquoted',
      odd: expect.stringContaining('not a number'),
    });
    expect(parseCard("NOTE    = 'never closed  ")).toMatchObject({
      value: 'never closed',
      odd: expect.stringContaining('never closed'),
    });
    for (const text of ['1.5x', 'x1.5', '1.5E', '--1', '.'])
      expect(parseCard(`EXPTIME = ${text}`)).toMatchObject({
        value: text,
        odd: expect.stringContaining('not a number'),
      });
    expect(parseCard('BIG     = 1e999')).toMatchObject({ value: '1e999', odd: expect.any(String) });
  });

  it.each(['BZERO   =32768', "FILTER  ='Ha'", 'EXPTIME =1.5E2/none', 'BLANK   =\t3'])(
    'finds no value where columns 9 and 10 are not "= ": %s',
    (line) => {
      const card = parseCard(line.padEnd(80));
      expect(card).toMatchObject({ value: undefined, text: '', unmarked: true, comment: line.slice(8) });
    },
  );

  // ESO's HIERARCH convention.
  it('reads HIERARCH cards', () => {
    expect(parseCard('HIERARCH ESO  DET temp = -10.5 / C')).toMatchObject({
      keyword: 'HIERARCH ESO DET temp',
      value: -10.5,
      comment: 'C',
    });
    expect(parseCard('HIERARCH nothing to see')).toMatchObject({ keyword: 'HIERARCH', value: undefined });
  });

  it('marks strings that a CONTINUE card may follow', () => {
    expect(parseCard("A       = 'more&'").open).toBe(true);
    expect(parseCard("A       = 'more& '").open).toBe(true);
    expect(parseCard("A       = 'more'").open).toBeUndefined();
    expect(parseContinuation("CONTINUE  'and more' / words")).toMatchObject({ text: 'and more', comment: 'words' });
    expect(parseContinuation('CONTINUE  no string')).toBeUndefined();
    expect(parseContinuation("COMMENT   'no'")).toBeUndefined();
  });
});
