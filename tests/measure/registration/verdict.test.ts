import { describe, expect, it } from 'vitest';
import type { Look } from '../../../lib/measure/registration/look.ts';
import { similarity } from '../../../lib/measure/registration/similarity.ts';
import { judge } from '../../../lib/measure/registration/verdict.ts';

const corner = { x: 128, y: 128 };
const look = (scale: number, dx: number, scatter = 0.1): Look => ({
  scale,
  map: similarity({ cx: 127.5, cy: 127.5 }, dx),
  covariance: [],
  scatter,
  tiles: [],
});
const found = (...looks: Look[]) => {
  const verdict = judge(looks, corner);
  if (verdict.status === 'unknown') throw new Error(verdict.reason);
  return verdict.answer;
};

describe('a verdict', () => {
  it('is by the most certain look', () => {
    expect(found(look(1.2, 2, 1.5), look(2.4, 2.1, 0.1)).look.scale).toBe(2.4);
    expect(found(look(1.2, 2, 0.1), look(2.4, 2.1, 0.5)).look.scale).toBe(1.2);
  });

  it('counts scatter, a share of the size, and what the next coarser size moves', () => {
    // What scatter alone makes of the difference is not counted: 1² − (0.1² + 0.3²)/2.
    const { sigma } = found(look(1.2, 2, 0.1), look(2.4, 3, 0.3));
    const drift = Math.sqrt(1 - (0.01 + 0.09) / 2);
    expect(sigma).toBeCloseTo(Math.hypot(0.1, 0.7 * drift, 0.12 * 1.2), 12);
    expect(found(look(1.2, 2)).sigma).toBeCloseTo(Math.hypot(0.1, 0.7 * 0.6, 0.12 * 1.2), 12);
  });

  it('is none where sizes contradict each other, where all is vague, and where there is nothing', () => {
    expect(judge([look(1, 0), look(1.2, 0), look(2.4, 0.1), look(4.8, 30)], corner)).toMatchObject({
      status: 'unknown',
      reason: 'fine and coarse structure disagree',
    });
    expect(judge([look(4.8, 0, 2.9)], corner)).toMatchObject({ status: 'unknown', reason: /vague/ });
    expect(judge([look(4.8, 0, 2.9)], corner, 10).status).toBe('found');
    expect(judge([], corner)).toEqual({ status: 'unknown', reason: 'no common structure found' });
  });
});
