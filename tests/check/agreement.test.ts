import { readFileSync } from 'node:fs';
import { expect, it } from 'vitest';
import { findDefects } from '../../lib/check/find-defects.ts';
import { judgedPlanes, linesOf } from './planted.ts';

interface Judged {
  readonly channel: string;
  readonly score: number;
  readonly angle: number;
  readonly from: readonly [number, number];
  readonly to: readonly [number, number];
}

const golden: { trails: Judged[] } = JSON.parse(readFileSync(new URL('../golden/check.json', import.meta.url), 'utf8'));

it('finds the trails that an independent program finds', async () => {
  const found = await findDefects(linesOf(judgedPlanes()));
  expect(found.map(({ channel, kind }) => ({ channel, kind }))).toEqual(
    golden.trails.map(({ channel }) => ({ channel, kind: 'trail' })),
  );
  for (const [i, { score, angle, from, to }] of golden.trails.entries()) {
    const trail = found[i]!;
    expect(Math.abs(trail.score / score - 1)).toBeLessThan(0.2);
    expect(Math.abs(trail.angle! - angle)).toBeLessThan(0.25);
    const [dx, dy] = [to[0] - from[0], to[1] - from[1]];
    const middle = [(trail.from[0] + trail.to[0]) / 2, (trail.from[1] + trail.to[1]) / 2] as const;
    const off = Math.abs((middle[1] - from[1]) * dx - (middle[0] - from[0]) * dy) / Math.hypot(dx, dy);
    expect(off).toBeLessThan(1.5);
  }
});
