import { availableParallelism } from 'node:os';
import { describe, expect, it } from 'vitest';
import { durationText, finishedLine, restText } from '../../../lib/cli/batch-words.ts';
import { capacityFor } from '../../../lib/node/batch/capacity.ts';
import { createPace } from '../../../lib/node/batch/pace.ts';

describe('createPace', () => {
  it('foretells the time left from the last pictures', () => {
    let now = 0;
    const pace = createPace(10, () => now);
    expect(pace.advance(0, 0.5)).toEqual({ done: 0, total: 10, share: 0.05 });
    now = 1000;
    expect(pace.finish(0)).toEqual({ done: 1, total: 10, share: 0.1 });
    now = 2000;
    expect(pace.finish(0)).toEqual({ done: 2, total: 10, share: 0.2, secondsLeft: 8 });
    pace.advance(0, 0.5);
    expect(pace.advance(1, 0.5)).toEqual({ done: 2, total: 10, share: 0.3, secondsLeft: 7 });
  });

  it('follows a pace that changes', () => {
    let now = 0;
    const pace = createPace(100, () => now);
    for (let i = 0; i < 40; i++) {
      now += 10;
      pace.finish(0);
    }
    for (let i = 0; i < 30; i++) {
      now += 2000;
      pace.finish(0);
    }
    expect(pace.advance(0, 0).secondsLeft).toBeCloseTo(60, 6);
  });

  it('is done where there is nothing to do', () => {
    expect(createPace(0).advance(0, 0).share).toBe(1);
  });
});

describe('capacityFor', () => {
  const GIB = 1 << 30;
  const load = { targets: 50, pictures: 150, bytes: 100 * GIB, largest: 100 << 20 };

  it('takes one target a processor where the work and the memory suffice', () => {
    expect(capacityFor(load, { memory: 64 * GIB })).toEqual({ workers: availableParallelism(), threads: 1 });
  });
  it('takes fewer where memory is short, but one at least, and lets the other processors help with it', () => {
    expect(capacityFor(load, { memory: 1 })).toEqual({ workers: 1, threads: availableParallelism() });
    expect(capacityFor(load, { memory: 400 << 20, parallel: 8 }).workers).toBe(2);
  });
  it('never takes more than there are targets', () => {
    expect(capacityFor({ ...load, targets: 1 }, { memory: 64 * GIB, parallel: 9 }).workers).toBe(1);
  });
  it('starts no threads for what is done before they have started', () => {
    expect(capacityFor({ targets: 5, pictures: 5, bytes: 1000, largest: 200 }, { memory: GIB }).workers).toBe(1);
  });
});

describe('words of a batch', () => {
  it.each([
    [0.4, '0 s'],
    [59.4, '59 s'],
    [61, '1 min 01 s'],
    [3599.6, '1 h 00 min'],
    [7500, '2 h 05 min'],
  ])('%d seconds are %s', (seconds, text) => {
    expect(durationText(seconds)).toBe(text);
  });

  it('say nothing of the time left before there is a pace', () => {
    expect(restText({ done: 1, total: 9, share: 0.1 })).toBe('1 of 9');
    expect(restText({ done: 3, total: 9, share: 0.3, secondsLeft: 125 })).toBe('3 of 9, 2 min 05 s left');
  });

  it('keep control characters of names from the terminal', () => {
    const report = {
      target: 'a',
      recipe: 'b',
      output: '/x/\u001b[2Jy.tif',
      status: 'failed',
      why: 'a\nb',
      seconds: 0,
      warnings: [],
    } as const;
    const line = finishedLine({ done: 1, total: 1, share: 1 }, report);
    expect(line).toBe('1/1 FAILED: /x/ [2Jy.tif (a b)');
  });
});
