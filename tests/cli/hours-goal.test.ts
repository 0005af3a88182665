import { describe, expect, it } from 'vitest';
import { goalFor } from '../../lib/cli/hours-flags.ts';

describe('the goal', () => {
  it('is an SNR where something is said about one, and least luminance noise else', () => {
    expect(goalFor({})).toBe('luminance');
    expect(goalFor({ goal: 'colour' })).toBe('colour');
    expect([goalFor({ in: 'blue' }), goalFor({ per: 'box' }), goalFor({ snr: 5 })]).toEqual(['snr', 'snr', 'snr']);
    expect(goalFor({ goal: 'snr', in: 'blue' })).toBe('snr');
  });

  it.each(['luminance', 'colour'] as const)('is not %s where something is said about an SNR', (goal) => {
    expect(() => goalFor({ goal, in: 'blue' })).toThrow(`--in is about an SNR, but the goal is ${goal}`);
  });
});
