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

  it('must name lines that are there', () => {
    const check = (values: Record<string, unknown> | undefined) => () =>
      read.checkNames('cap', values, ['S', 'H', 'O']);
    expect(check(undefined)).not.toThrow();
    expect(check({ '*': 1, H: 2 })).not.toThrow();
    expect(check({ '*': 1, H: 2, O3: 4 })).toThrow(/--cap: there is no line "O3"/);
    expect(check(read.byLine(read.hoursOf)('__proto__=3h'))).toThrow(/--cap: there is no line "__proto__"/);
  });
});

describe("a line's wish from all options", () => {
  const sky = { level: 900, sub: 300 };

  it('takes its own value before the one for all', () => {
    const flags = {
      sub: { '*': 300, O: 600 },
      overhead: { '*': 12 },
      cap: { O: 20 },
      weight: { S: 3, '*': 2 },
    };
    expect(read.wishFor(flags, 'O', sky)).toEqual({ sub: 600, overhead: 12, cap: 20, weight: 2 });
    expect(read.wishFor(flags, 'S', sky)).toEqual({ sub: 300, overhead: 12, weight: 3 });
    expect(read.wishFor({}, 'S', sky)).toEqual({});
  });

  it('takes a value of 0 for a value', () =>
    expect(read.wishFor({ overhead: { S: 0, '*': 12 } }, 'S', sky)).toEqual({ overhead: 0 }));

  it('takes the rate of the sky as given', () => {
    const flags = { readNoise: { '*': 1.6 }, sky: { S: 0.2 }, gain: { S: 2 }, pedestal: { S: 600 } };
    expect(read.wishFor(flags, 'S', sky)).toEqual({ camera: { sky: 0.2, read: 1.6 } });
    expect(read.wishFor({ ...flags, sky: { S: 0 } }, 'S', sky)).toEqual({ camera: { sky: 0, read: 1.6 } });
  });

  it('or reads it from the level: counts above the pedestal, in electrons, by the seconds of a sub', () => {
    const flags = { readNoise: { S: 1.6 }, gain: { S: 0.25 }, pedestal: { '*': 600 } };
    // (900 − 600) · 0.25 / 300 = 0.25 electrons a second.
    expect(read.wishFor(flags, 'S', sky)).toEqual({ camera: { sky: 0.25, read: 1.6 } });
    // A level at the pedestal is a sky without light.
    expect(read.wishFor(flags, 'S', { level: 600, sub: 300 })).toEqual({ camera: { sky: 0, read: 1.6 } });
  });

  it.each([
    ['no gain', { pedestal: { S: 600 } }, sky],
    ['no pedestal', { gain: { S: 0.25 } }, sky],
    ['no length of a sub', { gain: { S: 0.25 }, pedestal: { S: 600 } }, { level: 900, sub: undefined }],
    ['a level below the pedestal', { gain: { S: 0.25 }, pedestal: { S: 901 } }, sky],
    ['a gain of another line', { gain: { O: 0.25 }, pedestal: { S: 600 } }, sky],
  ])('refuses read noise with %s', (_, flags, facts) =>
    expect(() => read.wishFor({ ...flags, readNoise: { S: 1.6 } }, 'S', facts)).toThrow(/brightness of its sky/),
  );
});

describe('the noise that the CCD equation expects', () => {
  const exposure = { name: 'S', hours: 1, sub: 300, subs: 12, from: 'header' } as const;
  const wish = { camera: { sky: 0.25, read: 1.5 } };

  it('is √((sky · t + read²) / n) electrons, in counts', () => {
    // (0.25 · 300 + 1.5²) / 12 = 6.4375 electrons², and half an electron a count.
    const wanted = Math.sqrt(6.4375) / 0.5;
    expect(read.expectedFor({ gain: { S: 0.5, '*': 9 } }, exposure, wish)).toBeCloseTo(wanted, 12);
    expect(read.expectedFor({ gain: { '*': 0.5 } }, exposure, wish)).toBeCloseTo(wanted, 12);
  });

  it.each([
    ['camera', { gain: { S: 0.5 } }, exposure, {}],
    ['gain', {}, exposure, wish],
    ['length of a sub', { gain: { S: 0.5 } }, { ...exposure, sub: undefined }, wish],
    ['count of subs', { gain: { S: 0.5 } }, { ...exposure, subs: undefined }, wish],
  ])('is not known without a %s', (_, flags, facts, camera) =>
    expect(read.expectedFor(flags, facts, camera)).toBeUndefined(),
  );
});
