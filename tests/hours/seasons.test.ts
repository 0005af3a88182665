import { expect, it } from 'vitest';
import { planNights } from '../../lib/hours/plan/nights.ts';
import { FULL } from '../cases.ts';
import { bestOf, reached } from './judge.ts';
import { drawSeason } from './seasons.ts';

const SEASONS = FULL ? 200 : 50;
const sum = (values: readonly number[]) => values.reduce((a, b) => a + b, 0);

it('plans within a hundredth of the least that any choice of lines and hours reaches, and inside every window', () => {
  const above: number[] = [];
  for (let seed = 1; seed <= SEASONS; seed++) {
    const season = drawSeason(seed, seed % 2 === 0);
    const { targets, nights, change } = season;
    const { added, nights: planned } = planNights(targets, nights, change);
    const least = bestOf(season);
    above.push(reached(season, added) / least - 1);
    expect(planned.map(({ date }) => date)).toEqual(nights.map(({ date }) => date));
    for (const [n, { used, blocks }] of planned.entries()) {
      expect(used).toBeLessThanOrEqual(nights[n]!.dark + 1e-6);
      expect(used).toBeCloseTo(sum(blocks.map(({ clock }) => clock)), 9);
      for (const { name, open, up = Number.POSITIVE_INFINITY, lines } of targets) {
        const own = blocks.filter(({ target }) => target === name);
        if (!open(nights[n]!.date)) expect(own).toEqual([]);
        expect(sum(own.map(({ clock }) => clock))).toBeLessThanOrEqual(up + 1e-6);
        for (const { line, hours, clock, subs } of own) {
          const { sub, overhead = 0 } = lines.find((one) => one.name === line)!;
          expect(clock).toBeCloseTo(hours + ((subs ?? 0) * overhead) / 3600 + change, 6);
          if (sub !== undefined) expect(hours).toBeCloseTo((subs! * sub) / 3600, 9);
        }
      }
    }
    for (const [t, { lines }] of targets.entries())
      for (const [i, { room = Number.POSITIVE_INFINITY, name }] of lines.entries()) {
        expect(added[t]![i]).toBeLessThanOrEqual(room + 1e-6);
        const given = planned.flatMap(({ blocks }) =>
          blocks.filter((b) => b.target === targets[t]!.name && b.line === name).map(({ hours }) => hours),
        );
        expect(added[t]![i]).toBeCloseTo(sum(given), 9);
      }
  }
  // Nobody is better than the judge, who counts hours where plans count subs.
  expect(Math.min(...above)).toBeGreaterThan(-1e-6);
  expect(Math.max(...above)).toBeLessThanOrEqual(0.01);
});
