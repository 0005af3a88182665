import { readFileSync } from 'node:fs';
import { describe, expect, it } from 'vitest';
import { allocate } from '../../lib/hours/allocate.ts';
import { type FillLine, fill, hoursToReach, varianceAfter } from '../../lib/hours/fill.ts';
import { fillGroups } from '../../lib/hours/fill-groups.ts';
import { normalDeviates } from '../../lib/hours/random.ts';
import { soonest } from '../../lib/hours/soonest.ts';
import type { SubLine } from '../../lib/hours/subs.ts';

const golden = JSON.parse(readFileSync(new URL('../golden/hours/allocation.json', import.meta.url), 'utf8'));

const sum = (values: readonly number[]) => values.reduce((a, b) => a + b, 0);
const added = (lines: readonly FillLine[], totals: readonly number[]) =>
  sum(lines.map(({ spent, cost = 1 }, i) => cost * (totals[i]! - spent)));

/** Random lines from a seed; `uniform` from folded normals. */
const randomLines = (seed: number, count: number): FillLine[] => {
  const normal = normalDeviates(seed);
  const uniform = () => Math.abs(normal());
  return Array.from({ length: count }, () => ({
    spent: 3 * uniform(),
    strength: uniform(),
    cost: 1 + 0.2 * uniform(),
    room: 1 + 4 * uniform(),
  }));
};

/** Moves `step` hours on the clock from one line to another where limits allow, in every way. */
const neighbours = (lines: readonly FillLine[], totals: readonly number[], step: number): number[][] =>
  lines.flatMap((from, i) =>
    lines.flatMap((to, j) => {
      const moved = totals.with(i, totals[i]! - step / from.cost!).with(j, totals[j]! + step / to.cost!);
      const allowed = moved.every((t, k) => t >= lines[k]!.spent - 1e-12 && t <= lines[k]!.spent + lines[k]!.room!);
      return i !== j && allowed ? [moved] : [];
    }),
  );

describe('filling', () => {
  it("gives Cochran's sizes of cities as Neyman shares them", () => {
    const { N, S2, n, neyman_n, V_min_formula } = golden['alloc.cochran'].values;
    const lines = N.map((size: number, h: number) => ({ spent: 0, strength: size * Math.sqrt(S2[h]) }));
    const totals = fill(lines, n);
    expect(totals[0]).toBeCloseTo(neyman_n[0], 9);
    expect(totals[1]).toBeCloseTo(neyman_n[1], 9);
    const finite = sum(N.map((size: number, h: number) => size * S2[h]));
    expect(varianceAfter(lines, totals) - finite).toBeCloseTo(V_min_formula, 6);
    // The published variance of 12 + 12: Neyman's shares rounded to whole cities.
    const { V_equal } = golden['alloc.cochran'].values.published;
    expect(Math.abs(varianceAfter(lines, [12, 12]) - finite - V_equal)).toBeLessThan(1);
  });

  it('gives the hours of the worked example, for luminance and for all colours', () => {
    const { w, sigma1h, T, t_opt, V_opt, V_equal, trace_objective_norms, t_trace } = golden['alloc.time'].values;
    const linesFor = (weights: readonly number[]) =>
      weights.map((weight, i) => ({ spent: 0, strength: weight * sigma1h[i] }));
    const lines = linesFor(w);
    const totals = fill(lines, T);
    for (let i = 0; i < 3; i++) expect(totals[i]).toBeCloseTo(t_opt[i], 9);
    expect(varianceAfter(lines, totals)).toBeCloseTo(V_opt, 14);
    expect(varianceAfter(lines, [T / 3, T / 3, T / 3])).toBeCloseTo(V_equal, 14);
    // Columns of the mix as lengths: the trace of its covariance is the goal.
    const norms = fill(linesFor(trace_objective_norms), T);
    for (let i = 0; i < 3; i++) expect(norms[i]).toBeCloseTo(t_trace[i], 9);
  });

  it.each([1, 2, 3, 4, 5, 6])('uses all the time, within limits, and no exchange is better (%d)', (seed) => {
    const lines = randomLines(seed, 5);
    const totals = fill(lines, 4);
    const least = varianceAfter(lines, totals);
    expect(added(lines, totals)).toBeCloseTo(4, 9);
    for (const [i, t] of totals.entries()) expect(t).toBeGreaterThanOrEqual(lines[i]!.spent);
    const others = neighbours(lines, totals, 0.02);
    expect(others.length).toBeGreaterThan(0);
    for (const other of others) expect(varianceAfter(lines, other)).toBeGreaterThan(least);
  });

  it('keeps hours spent beyond their share, and leaves unused what no line can take', () => {
    const lines = [
      { spent: 10, strength: 1 },
      { spent: 1, strength: 1, room: 2 },
    ];
    expect(fill(lines, 2)).toEqual([10, 3]);
    expect(fill([lines[1]!], 5)).toEqual([3]);
    expect(fill([{ spent: 2, strength: 0 }], 5)).toEqual([2]);
    expect(fill(lines, 0)).toEqual([10, 1]);
  });

  it('says how long a variance takes, and that limits forbid it', () => {
    const lines = [
      { spent: 4, strength: 2 },
      { spent: 1, strength: 1 },
    ];
    expect(hoursToReach(lines, 2)).toBe(0);
    const hours = hoursToReach(lines, 0.5)!;
    // By hand: totals 2λ and λ with 2/λ + 1/λ = 0.5 give λ = 6, 12 + 6 hours of which 5 are spent.
    expect(hours).toBeCloseTo(13, 9);
    expect(hoursToReach([{ spent: 4, strength: 2, room: 1 }], 0.5)).toBeUndefined();
  });

  it('holds groups to their limits and gives the rest to the others', () => {
    const lines = ['a', 'a', 'b', 'b', 'c'].map((group, i) => ({ group, spent: 1, strength: 5 - i }));
    const totals = fillGroups(
      lines,
      10,
      new Map([
        ['a', 2],
        ['b', 3],
      ]),
    );
    expect(totals[0]! + totals[1]! - 2).toBeCloseTo(2, 9);
    expect(totals[2]! + totals[3]! - 2).toBeCloseTo(3, 9);
    expect(totals[4]! - 1).toBeCloseTo(5, 9);
    expect(fillGroups(lines, 10, new Map())).toEqual(fill(lines, 10));
  });
});

describe('allocation', () => {
  const lines: SubLine[] = [
    { name: 'S', spent: 6, strength: 0.9, sub: 400, overhead: 20 },
    { name: 'H', spent: 4, strength: 1.3, sub: 300, overhead: 15 },
    { name: 'O', spent: 5, strength: 2.8, sub: 600, overhead: 20 },
  ];

  it('gives whole subs, within the time, close to the unrounded optimum', () => {
    const { shares, clock, before, after } = allocate(lines, 6);
    for (const [i, { subs, added }] of shares.entries()) {
      expect(Number.isInteger(subs)).toBe(true);
      expect((subs! * lines[i]!.sub!) / 3600).toBeCloseTo(added, 9);
    }
    expect(clock).toBeLessThanOrEqual(6 + 1e-9);
    expect(clock).toBeGreaterThan(6 - 320 / 3600);
    expect(after).toBeLessThan(before);
    const costs = lines.map(({ sub, overhead }) => (sub! + overhead!) / sub!);
    const exact = lines.map((line, i) => ({ ...line, cost: costs[i]! }));
    // Rounding costs less than the time of one sub.
    expect(after).toBeLessThan(varianceAfter(exact, fill(exact, 6 - 620 / 3600)));
  });

  it('no exchange of whole subs that fits the time is better', () => {
    const { shares, after } = allocate(lines, 6);
    const counts = shares.map(({ subs }) => subs!);
    for (let i = 0; i < 3; i++)
      for (let j = 0; j < 3; j++) {
        const other = counts.with(i, counts[i]! - 1);
        other[j] = other[j]! + 1;
        const clock = sum(other.map((n, k) => (n * (lines[k]!.sub! + lines[k]!.overhead!)) / 3600));
        if (i === j || other.some((n) => n < 0) || clock > 6) continue;
        const totals = other.map((n, k) => lines[k]!.spent + (n * lines[k]!.sub!) / 3600);
        expect(varianceAfter(lines, totals)).toBeGreaterThanOrEqual(after * (1 - 1e-3));
      }
  });

  it.each([0.4, 0.7, 1.2, 3])(
    'leaves out lines whose filter change is too dear: best of all subsets in %d h',
    (hours) => {
      for (let seed = 1; seed <= 20; seed++) {
        const some = randomLines(seed, 4).map(({ spent, strength }, i) => ({ name: `L${i}`, spent, strength }));
        const best = Math.min(
          ...Array.from({ length: 16 }, (_, set) => {
            const used = some.filter((_, i) => set & (1 << i));
            const time = hours - 0.5 * used.length;
            const rest = some.filter((_, i) => !(set & (1 << i)));
            const totals = fill(used, time);
            return varianceAfter(used, totals) + sum(rest.map(({ spent, strength }) => strength ** 2 / spent));
          }),
        );
        const { after, before, clock } = allocate(some, hours, { change: 0.5 });
        expect(after / best, `seed ${seed}`).toBeLessThan(1 + 1e-9);
        expect(after < before).toBe(hours > 0.5);
        expect(clock).toBeCloseTo(hours > 0.5 ? hours : 0, 9);
      }
    },
  );

  it('pays each group’s filter changes from its own limit', () => {
    const grouped = ['a', 'b', 'b', 'b'].map((group, i) => ({ name: `L${i}`, group, spent: 1, strength: 1 }));
    const groups = new Map([
      ['a', { limit: 1 }],
      ['b', {}],
    ]); // prettier-ignore
    const { shares, clock } = allocate(grouped, 10, { change: 0.1, groups });
    // 1 h for a: a change and 0.9 h. 9 h for b: three changes and 8.7 h in three equal parts.
    expect(shares.map(({ added: h }) => h)).toEqual([0.9, 2.9, 2.9, 2.9].map((h) => expect.closeTo(h, 9)));
    expect(shares.map(({ clock: h }) => h)).toEqual([1, 3, 3, 3].map((h) => expect.closeTo(h, 9)));
    expect(shares.map(({ group }) => group)).toEqual(['a', 'b', 'b', 'b']);
    expect(clock).toBeCloseTo(10, 9);
  });

  it('gives equal subs as the best of all counts does', () => {
    for (let seed = 1; seed <= 30; seed++) {
      const some = randomLines(seed, 3).map(({ spent, strength }, i) => ({
        name: `L${i}`,
        spent,
        strength,
        sub: 1800,
      }));
      const counts = Array.from({ length: 216 }, (_, n) => [n % 6, Math.floor(n / 6) % 6, Math.floor(n / 36)]);
      const variances = counts
        .filter((of) => sum(of) <= 5)
        .map((of) =>
          varianceAfter(
            some,
            of.map((n, i) => some[i]!.spent + n / 2),
          ),
        );
      const { after, shares } = allocate(some, 2.5);
      expect(after / Math.min(...variances), `seed ${seed}`).toBeLessThan(1 + 1e-12);
      expect(sum(shares.map(({ subs }) => subs!))).toBe(5);
    }
  });

  it('gives the next sub to the line that gains most for its time', () => {
    // Variance 10/5 falls by 10·(1/5 − 1/6) = 0.33 with an hour on A, 3/2 by 3·(1/2 − 1/3) = 0.5 with an hour on B.
    const a = { name: 'A', spent: 5, strength: Math.sqrt(10), sub: 3600 };
    const b = { name: 'B', spent: 2, strength: Math.sqrt(3), sub: 3600 };
    const subs = (...of: SubLine[]) => allocate(of, 2.1).shares.map((share) => share.subs);
    expect(allocate([a, b], 1).shares.map((share) => share.subs)).toEqual([0, 1]);
    // Where each sub of B costs a second hour for nothing, its 0.5 in 2 h is less than A's 0.33 + 0.24.
    expect(subs(a, { ...b, overhead: 3600 })).toEqual([2, 0]);
  });

  it('adds nothing where there is no time', () => {
    const { shares, clock } = allocate(lines, 0.05, { change: 0.2 });
    expect(shares.map(({ subs }) => subs)).toEqual([0, 0, 0]);
    expect(clock).toBe(0);
  });

  it('reaches a variance on one line, where changes to others would cost more than they save', () => {
    const some = [1, 2, 3].map((strength, i) => ({ name: `L${i}`, spent: 5, strength }));
    // Variance 14/5 now; 1 % less by 9/t = 9/5 − 0.028 alone: t = 9/1.772, and half an hour for the change.
    const { shares, clock, after } = soonest(some, 0.99 * 2.8, 0.5)!;
    expect(shares.map(({ added: h }) => h)).toEqual([0, 0, expect.closeTo(9 / 1.772 - 5, 9)]);
    expect(clock).toBeCloseTo(9 / 1.772 - 5 + 0.5, 9);
    expect(after).toBeCloseTo(0.99 * 2.8, 9);
  });

  it('reaches a variance soonest, in whole subs, and not a sub too late', () => {
    const now = varianceAfter(
      lines,
      lines.map(({ spent }) => spent),
    );
    const result = soonest(lines, now / 2, 0.1)!;
    expect(result.after).toBeLessThanOrEqual(now / 2);
    const less = allocate(lines, result.clock - 0.25, { change: 0.1 });
    expect(less.after).toBeGreaterThan(now / 2);
    expect(soonest(lines, now)!.clock).toBe(0);
    expect(
      soonest(
        lines.map((line) => ({ ...line, room: 1 })),
        now / 4,
      ),
    ).toBeUndefined();
  });
});
