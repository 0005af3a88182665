import { readFileSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { expect, it } from 'vitest';
import { inFolder, linewash } from './capture.ts';

it('maps a line, writes its picture, and hands its outlines to hours', { timeout: 60_000 }, () =>
  inFolder(async (folder) => {
    const at = (name: string) => join(folder, name);
    const wrote = await linewash(['samples', folder, '--target', 'palehoop', '--size', '400', '--quiet']);
    expect(wrote.code).toBe(0);
    const O = `O=${at('palehoop-O.fits')}`;
    const map = await linewash([
      'faint',
      O,
      '-o',
      at('map.png'),
      '--json',
      '--quiet',
      '--no-cache',
      '--box',
      '40,80,40,40',
    ]);
    expect(map.code, map.err).toBe(0);
    expect(readFileSync(at('map.png')).subarray(1, 4).toString()).toBe('PNG');
    const report = JSON.parse(map.out);
    expect(report.features.length).toBeGreaterThan(0);
    expect(report.asked.hours.map(({ aim }: { aim: number }) => aim)).toEqual([3, 5]);
    const table = await linewash(['faint', O, '--quiet', '--no-cache', '--time', 'O=2h']);
    expect(table.out).toMatch(/^O: \d+ outlined \(noise alone makes about 1\), \d+ stars masked, 2 h so far/);
    expect(table.out).toContain('of the sky can be decided from one master');

    writeFileSync(at('faint.json'), map.out);
    const hours = ['hours', 'hoo', `H=${at('palehoop-H.fits')}`, O, '--goal', 'snr', '--quiet', '--outline'];
    const told = await linewash([...hours, `${at('faint.json')}#1`]);
    expect(told.code, told.err).toBe(0);
    expect(told.out).toContain('signal of the box');
    for (const [words, message] of [
      [[...hours, `${at('faint.json')}#999`], /outlines, not 999/],
      [[...hours, `${at('map.png')}#1`], /is no report of faint features/],
      [[...hours, 'faint.json'], /the number of the outline/],
      [['faint', O, `H=${at('palehoop-H.fits')}`], /one line is looked at/],
      [['faint', O, '-o', at('map.fits')], /written as .tif, .png or .jpg/],
      [['faint', O, '--largest', '48'], /Give 4, 8, 16/],
    ] as const) {
      const refused = await linewash([...words]);
      expect(refused.code).not.toBe(0);
      expect(refused.err).toMatch(message);
    }
  }),
);
