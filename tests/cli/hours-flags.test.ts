import { InvalidArgumentError } from 'commander';
import { describe, expect, it } from 'vitest';
import * as read from '../../lib/cli/hours-flags.ts';

const refused = (parse: (text: string) => unknown, texts: readonly string[]) => {
  for (const text of texts) expect(() => parse(text), JSON.stringify(text)).toThrow(InvalidArgumentError);
};

describe('values of the options of `hours`', () => {
  it('durations want a unit', () => {
    expect(['300s', '5m', '5min', ' 1.5 h '].map(read.duration)).toEqual([300, 300, 300, 5400]);
    expect(['1800s', '90m', '4.5h'].map(read.hoursOf)).toEqual([0.5, 1.5, 4.5]);
    expect(['10', ' 0.5 '].map(read.hoursOf)).toEqual([10, 0.5]);
    refused(read.hoursOf, ['', 'h', '-3', '1e3', '4,5']);
    refused(read.inHours, ['10']);
    refused(read.duration, ['300', '', 'h', '-3h', '3 d', '1e3s', '4,5h', '3hh', '.h']);
  });

  it('numbers above 0', () => {
    expect(['2', '0.5', '.5', '1e3', '1E-2', '2e+1', ' 3 '].map(read.positive)).toEqual([
      2, 0.5, 0.5, 1000, 0.01, 20, 3,
    ]);
    refused(read.positive, [
      '0',
      '0.0',
      '-1',
      '',
      ' ',
      'x',
      '1x',
      'x1',
      '0x10',
      'Infinity',
      'NaN',
      '1e',
      '1,5',
      '1e-400',
    ]);
  });

  it('numbers from 0', () => {
    expect(['0', '0.0', ' 0 ', '0.2'].map(read.zeroOrMore)).toEqual([0, 0, 0, 0.2]);
    refused(read.zeroOrMore, ['', ' ', '-1', 'x']);
  });

  it('counts of draws from 2, of up to seven digits', () => {
    expect(['2', '4000', '9999999'].map(read.count)).toEqual([2, 4000, 9_999_999]);
    refused(read.count, ['0', '1', '-2', '2.5', '1e3', ' 2', '2 ', '10000000', '']);
  });

  it('boxes, with blanks where people put them', () => {
    expect(read.box('1,22,333,4')).toEqual({ x: 1, y: 22, width: 333, height: 4 });
    expect(read.box(' 1, 2, 3, 4 ')).toEqual({ x: 1, y: 2, width: 3, height: 4 });
    refused(read.box, ['1,2,3', '1,2,3,4,5', '1 2,3,4,5', '-1,2,3,4', '1.5,2,3,4', 'x1,2,3,4', '1,2,3,4x', '']);
  });

  it('nights and their hours', () => {
    expect(read.nights('3x6h')).toEqual({ count: 3, hours: 6 });
    expect(read.nights('12 × 90m')).toEqual({ count: 12, hours: 1.5 });
    refused(read.nights, ['3', '3x', 'x6h', '3x6', '1000x6h', '3.5x6h', 'about 3x6h', '3x6h each', '3xx6h']);
  });

  it('hours moved from line to line', () => {
    expect(read.move('S:O=2h')).toEqual({ from: 'S', to: 'O', hours: 2 });
    expect(read.move(' Ha : O3 = 30m')).toEqual({ from: 'Ha', to: 'O3', hours: 0.5 });
    refused(read.move, ['S=2h', 'S:O', 'S:O:H=2h', ':O=2h', 'S:=2h', 'S:O=', '=S:O=2h']);
    expect(() => read.move('S:O=2')).toThrow(/--move: "2" is no duration/);
  });
});

describe('values by line', () => {
  const hours = read.byLine(read.hoursOf);

  it('are by name, and for all others without one', () => {
    expect(hours('S=4.5h,O=3h')).toEqual({ S: 4.5, O: 3 });
    expect(hours('3h')).toEqual({ '*': 3 });
    expect(hours(' S = 2h , 1h')).toEqual({ S: 2, '*': 1 });
  });

  it('add up where an option is given several times, the last word counting', () =>
    expect(hours('S=1h', hours('O=3h,S=2h'))).toEqual({ O: 3, S: 1 }));

  it('are refused as a value alone is', () => refused(hours, ['S=', 'S', 'S=4d', 'S=1h,', '']));

  it('are turned into options by line, under the names of lines that are there', () => {
    const flags = { sub: { '*': 300, O3: 600 }, cap: { O: 20 }, overhead: { S: 0 }, readNoise: { '*': 1.6 } };
    expect(read.hoursByLine(flags, ['S', 'H', 'O'])).toEqual({
      '*': { sub: 300, readNoise: 1.6 },
      O: { sub: 600, cap: 20 },
      S: { overhead: 0 },
    });
    expect(() => read.hoursByLine({ readNoise: { Q: 1 } }, ['S'])).toThrow(/--read-noise: there is no line "Q"/);
  });
});
