import { writeFileSync } from 'node:fs';
import { join, resolve } from 'node:path';
import { describe, expect, it } from 'vitest';
import { inFolder, linewash, SAMPLES } from './capture.ts';

const masters = Object.fromEntries(Object.entries(SAMPLES).map(([name, file]) => [name, resolve(file)]));
const PLAN = {
  linewash: 1,
  nights: [
    { date: '2026-01-10', dark: '6h' },
    { date: '2026-01-11', dark: '5h' },
  ],
  overhead: '12s',
  change: '5m',
  targets: [
    { name: 'Emberwing', masters, recipe: 'ember', goal: 'colour', up: '4h' },
    {
      name: 'Emberwing, shell',
      masters: { H: masters.H, O: masters.O },
      recipe: {
        matrix: [
          ['k', 0],
          [0, 1],
          [0, 1],
        ],
        channels: ['H', 'O'],
        knobs: { k: { value: 1, min: 0, max: 1 } },
      },
      goal: 'snr',
      snr: 2.5,
      box: [100, 650, 40, 40],
      sub: '600s',
      nights: ['2026-01-11'],
    },
  ],
};

const withPlan = (plan: unknown, use: (file: string) => Promise<void>) =>
  inFolder(async (folder) => {
    const file = join(folder, 'winter.json');
    writeFileSync(file, JSON.stringify(plan));
    await use(file);
  });

describe('linewash hours --plan', () => {
  it('splits nights over targets, in JSON', () =>
    withPlan(PLAN, async (file) => {
      const { code, out, err } = await linewash(['hours', '--plan', file, '--json']);
      expect([code, err]).toEqual([0, '']);
      const { nights, targets, caution } = JSON.parse(out);
      expect(caution).toMatch(/estimates/);
      for (const { dark, used, blocks } of nights) {
        expect(used).toBeLessThanOrEqual(dark + 1e-9);
        for (const { target, subs, clock } of blocks)
          expect(clock).toBeCloseTo((subs * (target === 'Emberwing' ? 412 : 612) + 300) / 3600, 9);
      }
      const names = nights.map(({ blocks }: { blocks: { target: string }[] }) => new Set(blocks.map((b) => b.target)));
      expect([...names[0]]).toEqual(['Emberwing']);
      expect([...names[1]].sort()).toEqual(['Emberwing', 'Emberwing, shell']);
      const [all, shell] = targets;
      expect(all.after).toBeLessThan(all.before);
      expect(shell.snr.before).toBeLessThan(2.5);
      expect(shell.snr.after).toBeGreaterThan(shell.snr.before);
      expect(all.lines[0]).toMatchObject({ name: 'S', hours: 6 });
    }));

  it('prints a table with the caution once, and CSV with the caution beside it', () =>
    withPlan(PLAN, async (file) => {
      const text = await linewash(['hours', '--plan', file]);
      expect(text.code).toBe(0);
      expect(text.out).toMatch(/^2026-01-10 +3\.9\d? of 6 h +Emberwing/m);
      const titles = text.out.split('\n').map((line) => line.split(/ {2,}/));
      expect(titles[0]).toEqual(['night', 'used', 'target', 'line', 'subs', 'hours', 'on the clock']);
      expect(titles).toContainEqual(['target', 'hours so far + planned', 'noise of', 'noise', 'SNR']);
      expect(text.out.match(/common sense/g)).toHaveLength(1);
      const csv = await linewash(['hours', '--plan', file, '--csv']);
      expect(csv.out.split('\r\n')[0]).toBe('night,target,line,subs,hours,clock_hours');
      expect(csv.out).toMatch(/^2026-01-11,"Emberwing, shell",O,\d+,/m);
      expect(csv.err).toMatch(/common sense/);
    }));

  it('names faults of the plan with their place', () =>
    withPlan({ ...PLAN, nights: [{ date: 'soon', dark: '6h' }] }, async (file) => {
      const { code, out, err } = await linewash(['hours', '--plan', file]);
      expect([code, out]).toEqual([2, '']);
      expect(err).toMatch(/line 1, column \d+, \$\.nights\[0\]\.date: expected a date/);
    }));

  it('refuses masters beside a plan, a missing plan, and no recipe at all', () =>
    withPlan(PLAN, async (file) => {
      expect(await linewash(['hours', 'ember', '--plan', file])).toMatchObject({ code: 2, out: '' });
      expect(await linewash(['hours', '--plan', `${file}x`])).toMatchObject({ code: 2, out: '' });
      const none = await linewash(['hours']);
      expect(none.code).toBe(2);
      expect(none.err).toMatch(/no recipe given/);
    }));
});
