import type { Settled } from './settled.ts';

/** The same mix of lines whose values are stretched strengths already, 0…1. */
export const ofStrengths = (settled: Settled): Settled => ({
  ...settled,
  channels: settled.channels.map(({ name }) => ({
    name,
    background: 0,
    black: 0,
    white: 1,
    stretch: { curve: 'linear' },
  })),
});
