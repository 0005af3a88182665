import { describe, expect, it } from 'vitest';
import { readFacts } from '../../../lib/formats/fits/facts.ts';
import { parseHeader } from '../../../lib/formats/fits/header.ts';
import { FACT_KEYWORDS } from '../../../lib/formats/fits/keywords.ts';
import { card } from './build.ts';

const parse = (...cards: string[]) =>
  parseHeader(
    cards.map((line) => line.padEnd(80)),
    2880,
  );
const facts = (...cards: string[]) => {
  const { cards: _, from, ...rest } = readFacts(parse(...cards));
  return { ...rest, from };
};

describe('readFacts', () => {
  it('finds nothing in an empty header', () => {
    expect(readFacts(parse())).toEqual({ from: {}, cards: [] });
  });

  it('takes the keywords of the standard', () => {
    const cards = [
      card('OBJECT', "'a'"),
      card('DATE-BEG', "'2026-01-02T03:04:05'"),
      card('DATE-END', "'2026-01-03'"),
      card('INSTRUME', "'b'"),
      card('TELESCOP', "'c'"),
    ];
    expect(facts(...cards)).toEqual({
      object: 'a',
      dateStart: '2026-01-02T03:04:05',
      dateEnd: '2026-01-03',
      camera: 'b',
      telescope: 'c',
      from: { object: 'OBJECT', dateStart: 'DATE-BEG', dateEnd: 'DATE-END', camera: 'INSTRUME', telescope: 'TELESCOP' },
    });
  });

  it.each(['656e0', '89113e6', '007', '1E400'])('keeps the filter name %s as written', (name) => {
    expect(facts(card('FILTER', `'${name}'`)).filter).toBe(name);
    expect(facts(card('FILTER', name)).filter).toBe(name);
  });

  it('passes over empty places of filter wheels and empty strings', () => {
    expect(facts(card('FILTER1', "'CLEAR1L'"), card('FILTER2', "'F658N'"))).toEqual({
      filter: 'F658N',
      from: { filter: 'FILTER2' },
    });
    expect(facts(card('FILTER', "''"), card('FILTNAM', "'O III'")).filter).toBe('O III');
    expect(facts(card('FILTER', "'Open'"))).toEqual({ filter: 'Open', from: { filter: 'FILTER' } });
  });

  it.each([
    ['filter', 'FILTER', 'FILTER1', 'FILTER2', 'FILTNAM', 'FILTNAM1'],
    ['object', 'OBJECT', 'OBJNAME'],
    ['dateStart', 'DATE-BEG', 'DATE-OBS'],
    ['gain', 'GAIN', 'EGAIN'],
    ['camera', 'INSTRUME', 'CAMERA', 'DETNAM'],
    ['exposure', 'EXPTIME', 'EXPOSURE'],
    ['subs', 'NCOMBINE', 'NCOMB', 'STACKCNT', 'NSTACK', 'NIMAGES'],
  ] as const)('finds %s under each of its names, without blanks around it', (fact, ...keywords) => {
    for (const keyword of keywords) {
      const found = facts(card(keyword, "'  7  '"));
      expect([String(found[fact]), found.from]).toEqual(['7', { [fact]: keyword }]);
    }
  });

  it('prefers the first keyword of the table', () => {
    expect(facts(card('FILTER1', "'b'"), card('FILTER', "'a'")).from.filter).toBe('FILTER');
    expect(facts(card('EXPOSURE', 2), card('EXPTIME', 1)).exposure).toBe(1);
  });

  it('takes lower-case keywords where there is no other', () => {
    expect(facts(card('filter', "'ha'"))).toEqual({ filter: 'ha', from: { filter: 'filter' } });
    expect(facts(card('filter', "'ha'"), card('FILTER', "'oiii'")).filter).toBe('oiii');
  });

  describe('hours', () => {
    it.each([
      ['exposure times subs', [card('EXPTIME', 300), card('NCOMBINE', 120)], 300, 120, 10, 'EXPTIME × NCOMBINE'],
      ['numbers in quotes', [card('EXPTIME', "'3.0D2'"), card('STACKCNT', "'12'")], 300, 12, 1, 'EXPTIME × STACKCNT'],
      ['a stated total', [card('EXPTIME', 300), card('NCOMBINE', 2), card('TOTALEXP', 7200)], 300, 2, 2, 'TOTALEXP'],
      ['a total alone', [card('XPOSURE', 3600)], 3600, undefined, 1, 'XPOSURE'],
      ['a total of subs', [card('XPOSURE', 3600), card('NCOMBINE', 12)], 300, 12, 1, 'XPOSURE'],
    ] as const)('from %s', (_, cards, exposure, subs, hours, from) => {
      const found = facts(...cards);
      expect([found.exposure, found.subs, found.hours, found.from.hours]).toEqual([exposure, subs, hours, from]);
      expect(found.from).not.toHaveProperty('total');
    });

    it.each([
      ['no count', [card('EXPTIME', 300)]],
      ['an odd count', [card('EXPTIME', 300), card('NCOMBINE', 1.5)]],
      ['no subs', [card('EXPTIME', 300), card('NCOMBINE', 0)]],
      ['a negative exposure', [card('EXPTIME', -1), card('NCOMBINE', 3)]],
      ['elapsed time', [card('TELAPSE', 300), card('NCOMBINE', 3)]],
      ['no number', [card('EXPTIME', ''), card('NCOMBINE', 3)]],
      ['words', [card('EXPTIME', "'long'"), card('NCOMBINE', 3)]],
    ])('are absent for %s', (_, cards) => {
      expect(facts(...cards).hours).toBeUndefined();
    });
  });

  it.each([
    [[card('XBINNING', 2), card('YBINNING', 3)], [2, 3], 'XBINNING, YBINNING'],
    [[card('XBINNING', 2)], [2, 2], 'XBINNING'],
    [[card('CCDXBIN', 1), card('CCDYBIN', 1)], [1, 1], 'CCDXBIN, CCDYBIN'],
    [[card('BINNING', "'2x2'")], [2, 2], 'BINNING'],
    [[card('CCDSUM', "'1 2'")], [1, 2], 'CCDSUM'],
    [[card('BINNING', 4)], [4, 4], 'BINNING'],
    [[card('XBINNING', 0), card('BINNING', "'0x1'")], undefined, undefined],
    [[card('BINNING', "'fine'")], undefined, undefined],
  ] as const)('binning of %j', (cards, binning, from) => {
    const found = facts(...cards);
    expect([found.binning, found.from.binning]).toEqual([binning, from]);
  });

  it('fills gaps of an extension from the primary header unless told not to', () => {
    const primary = parse(card('FILTER', "'a'"), card('OBJECT', "'p'"));
    expect(readFacts(parse(card('FILTER', "'b'")), primary)).toMatchObject({ filter: 'b', object: 'p' });
    expect(readFacts(parse(card('INHERIT', 'F')), primary).object).toBeUndefined();
    expect(readFacts(parse(card('INHERIT', 'T')), primary).cards.length).toBe(1);
  });

  it('shows every card as it stands', () => {
    const { cards } = readFacts(parse(card('A', 1), 'COMMENT hello', "B       = 'x' / note"));
    expect(cards).toEqual([
      { keyword: 'A', value: 1 },
      { keyword: 'COMMENT', value: undefined, comment: 'hello' },
      { keyword: 'B', value: 'x', comment: 'note' },
    ]);
  });
});

describe('the table of keywords', () => {
  it('names each keyword once and calls standard only what FITS 4.0 reserves', () => {
    const names = FACT_KEYWORDS.map((row) => row.keyword);
    expect(new Set(names).size).toBe(names.length);
    const standard = FACT_KEYWORDS.filter((row) => row.basis === 'standard').map((row) => row.keyword);
    expect(standard.sort()).toEqual([
      'DATE-BEG',
      'DATE-END',
      'DATE-OBS',
      'INSTRUME',
      'OBJECT',
      'OBSGEO-L',
      'TELESCOP',
      'XPOSURE',
    ]);
  });
});
