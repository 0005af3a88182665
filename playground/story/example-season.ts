import type { PlannedSeason } from '../state/season.ts';

/** Two nights split over two targets; a third is left out. */
export const season: PlannedSeason = {
  nights: [
    {
      date: '2026-01-10',
      dark: 6,
      used: 6,
      blocks: [
        { target: 'Emberwing', line: 'O', hours: 4, subs: 36, clock: 4.2 },
        { target: 'Palehoop', line: 'H', hours: 1.7, clock: 1.8 },
      ],
    },
    { date: '2026-01-11', dark: 0.1, used: 0, blocks: [] },
  ],
  targets: [
    {
      name: 'Emberwing',
      quantity: 'luminance',
      place: 'background',
      lines: [
        { name: 'S', hours: 6, added: 0 },
        { name: 'O', hours: 5, added: 4 },
      ],
      before: 0.004,
      after: 0.003,
      snr: { wanted: 3, before: 2, after: 2.66667 },
    },
  ],
  warnings: [],
  left: [{ name: 'Brightfen', missing: ['S'] }],
};
