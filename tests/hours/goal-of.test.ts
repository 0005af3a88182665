import { describe, expect, it } from 'vitest';
import { goalOf } from '../../lib/hours/advice.ts';

describe('the goal', () => {
  it('is an SNR where something is said about one, and least luminance noise else', () => {
    expect(goalOf({})).toBe('luminance');
    expect(goalOf({ goal: 'colour' })).toBe('colour');
    expect([goalOf({ quantity: 'blue' }), goalOf({ per: 'box' }), goalOf({ snr: 5 })]).toEqual(['snr', 'snr', 'snr']);
    expect(goalOf({ goal: 'snr', quantity: 'blue' })).toBe('snr');
  });

  it.each(['luminance', 'colour'] as const)('is not %s where something is said about an SNR', (goal) => {
    const wish = { goal, quantity: 'blue' } as const;
    expect(() => goalOf(wish)).toThrow(`quantity is about an SNR, but the goal is ${goal}`);
    const names = { snr: '--snr', quantity: '--in', per: '--per', goal: '--goal snr' };
    expect(() => goalOf(wish, names)).toThrow(`--in is about an SNR, but the goal is ${goal}`);
  });
});
