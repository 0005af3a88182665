import { resolve } from 'node:path';
import { describe, expect, it } from 'vitest';
import { decisionLines, durationText, finishedLine, restText, summaryLines } from '../../lib/cli/batch-words.ts';
import type { PictureReport } from '../../lib/node/batch/picture-report.ts';
import type { BatchResult } from '../../lib/node/batch/run.ts';

const picture = (status: PictureReport['status'], more: Partial<PictureReport> = {}): PictureReport => ({
  target: 'Arc',
  recipe: 'sho',
  output: resolve('out/Arc sho.tif'),
  status,
  why: 'new',
  seconds: 1,
  warnings: [],
  ...more,
});

const result = (more: Partial<BatchResult>): BatchResult => ({
  pictures: [],
  made: 0,
  kept: 0,
  failed: 0,
  left: 0,
  seconds: 0,
  ...more,
});

describe('a duration in words', () => {
  // An hour has 60 minutes of 60 seconds; seconds are rounded first, so that none is called 60.
  it.each([
    [0, '0 s'],
    [0.4, '0 s'],
    [59.4, '59 s'],
    [59.6, '1 min 00 s'],
    [61, '1 min 01 s'],
    [200, '3 min 20 s'],
    [3599, '59 min 59 s'],
    [3599.7, '1 h 00 min'],
    [3600, '1 h 00 min'],
    [7500, '2 h 05 min'],
    [7559, '2 h 05 min'],
    [90_061, '25 h 01 min'],
  ])('%d seconds are %s', (seconds, text) => expect(durationText(seconds)).toBe(text));

  it('stands beside the bar as soon as there is a pace', () => {
    expect(restText({ done: 1, total: 9, share: 0.1 })).toBe('1 of 9');
    expect(restText({ done: 3, total: 9, share: 0.3, secondsLeft: 0 })).toBe('3 of 9, 0 s left');
    expect(restText({ done: 3, total: 9, share: 0.3, secondsLeft: 61 })).toBe('3 of 9, 1 min 01 s left');
  });
});

describe('the line of a finished picture', () => {
  const pace = { done: 2, total: 4, share: 0.5 };

  it.each([
    ['made', /^2\/4 made: out\/Arc sho\.tif \(new\)$/],
    ['failed', /^2\/4 FAILED: out\/Arc sho\.tif \(new\)$/],
    ['left', /^2\/4 not done: out\/Arc sho\.tif \(new\)$/],
    // That it is up to date needs no second saying.
    ['kept', /^2\/4 up to date: out\/Arc sho\.tif$/],
  ] as const)('%s: names what became of it, the file as seen from here, and why', (status, line) =>
    expect(finishedLine(pace, picture(status))).toMatch(line),
  );

  it('tells the time left while there is work left', () => {
    expect(finishedLine({ ...pace, secondsLeft: 61 }, picture('made'))).toMatch(/\(new\); 1 min 01 s left$/);
    expect(finishedLine({ ...pace, done: 4, secondsLeft: 0 }, picture('made'))).toMatch(/^4\/4 .*\(new\)$/);
  });

  it('keeps the whole path where that is shorter, and escapes from the terminal', () => {
    expect(finishedLine(pace, picture('made', { output: '/x.tif' }))).toContain(' /x.tif ');
    expect(finishedLine(pace, picture('failed', { why: '\x1b[31mred' }))).not.toContain('\x1b');
  });

  it('names the folder here rather than nothing', () =>
    expect(finishedLine(pace, picture('made', { output: resolve('') }))).toContain(` ${resolve('')} `));
});

describe('the sum of a batch', () => {
  it('counts, and tells of pictures left only where some are', () => {
    expect(summaryLines(result({ made: 2, kept: 3, seconds: 61 }))).toEqual([
      '2 made, 3 up to date, 0 failed in 1 min 01 s',
    ]);
    expect(summaryLines(result({ made: 2, left: 1 }))[0]).toBe('2 made, 0 up to date, 0 failed, 1 not done in 0 s');
  });

  it('names each failure with its reason, and what to do where that is known', () => {
    const pictures = [
      picture('made'),
      picture('failed', { why: 'torn', advice: 'copy it again' }),
      picture('left'),
      picture('failed', { recipe: 'hoo', output: resolve('out/Arc hoo.tif'), why: 'gone\x1b' }),
      picture('kept'),
    ];
    expect(summaryLines(result({ pictures, failed: 2 })).slice(1)).toEqual([
      'failed: Arc by sho → out/Arc sho.tif: torn',
      '  → copy it again',
      'failed: Arc by hoo → out/Arc hoo.tif: gone ',
    ]);
  });

  it('tells whether the sheet was drawn, or why not', () => {
    const sheet = (status: 'made' | 'kept', why: string) =>
      result({ sheet: { output: resolve('s.png'), status, why } });
    expect(summaryLines(sheet('made', 'new')).at(-1)).toBe('sheet: s.png (made)');
    expect(summaryLines(sheet('kept', 'up to date')).at(-1)).toBe('sheet: s.png (up to date)');
  });
});

describe('what a batch would do', () => {
  it('is a line a picture and the counts of each kind', () => {
    const decision = (action: 'make' | 'keep' | 'refuse', why: string) => ({
      target: 'Arc',
      recipe: 'sho',
      output: resolve('out/a.tif'),
      action,
      why,
    });
    const lines = decisionLines([
      decision('make', 'new'),
      decision('keep', 'up to date'),
      decision('make', 'S changed'),
      decision('refuse', 'no\x07master'),
      decision('make', 'asked for'),
    ]);
    expect(lines).toEqual([
      'make   out/a.tif (new)',
      'keep   out/a.tif (up to date)',
      'make   out/a.tif (S changed)',
      'CANNOT out/a.tif (no master)',
      'make   out/a.tif (asked for)',
      '3 to make, 1 up to date, 1 impossible',
    ]);
  });
});
