import type { Line, TargetName } from './options.ts';

/** Subs of one line in a row. */
export interface Run {
  readonly target: TargetName;
  readonly line: Line;
  /** Start of the first sub, UTC. */
  readonly start: string;
  readonly subs: number;
}

/** One night, named by the date of its evening. */
export interface Night {
  readonly date: string;
  readonly sky: 'clear' | 'clouds';
  readonly runs: readonly Run[];
}

const run = (target: TargetName, line: Line, start: string, subs: number): Run => ({ target, line, start, subs });

/**
 * Nine invented nights. Together they hold every sub of every master, Emberwing's later one included; Palehoop's O of last
 * year alone was taken before them. Clouds ended two of them early.
 */
export const SEASON: readonly Night[] = [
  {
    date: '2025-01-20',
    sky: 'clear',
    runs: [
      run('emberwing', 'H', '2025-01-20T19:05:00', 27),
      run('brightfen', 'H', '2025-01-20T22:30:00', 18),
      run('palehoop', 'O', '2025-01-21T00:50:00', 30),
    ],
  },
  {
    date: '2025-01-21',
    sky: 'clouds',
    runs: [run('emberwing', 'H', '2025-01-21T19:30:00', 9), run('palehoop', 'O', '2025-01-22T01:10:00', 4)],
  },
  {
    date: '2025-01-24',
    sky: 'clear',
    runs: [
      run('emberwing', 'S', '2025-01-24T19:10:00', 36),
      run('palehoop', 'H', '2025-01-24T23:40:00', 24),
      run('brightfen', 'O', '2025-01-25T02:40:00', 12),
    ],
  },
  {
    date: '2025-01-25',
    sky: 'clear',
    runs: [
      run('emberwing', 'S', '2025-01-25T19:15:00', 18),
      run('brightfen', 'H', '2025-01-25T21:35:00', 9),
      run('palehoop', 'O', '2025-01-25T23:00:00', 28),
    ],
  },
  {
    date: '2025-01-28',
    sky: 'clear',
    runs: [run('emberwing', 'O', '2025-01-28T19:20:00', 33), run('brightfen', 'S', '2025-01-28T23:25:00', 20)],
  },
  { date: '2025-01-29', sky: 'clouds', runs: [run('emberwing', 'O', '2025-01-29T19:25:00', 12)] },
  {
    date: '2025-02-20',
    sky: 'clear',
    runs: [
      run('brightfen', 'S', '2025-02-20T19:20:00', 16),
      run('palehoop', 'S', '2025-02-20T21:30:00', 22),
      run('brightfen', 'O', '2025-02-21T00:15:00', 15),
    ],
  },
  {
    date: '2025-02-21',
    sky: 'clear',
    runs: [run('emberwing', 'O', '2025-02-21T19:40:00', 36), run('palehoop', 'S', '2025-02-22T00:05:00', 14)],
  },
  {
    date: '2025-02-22',
    sky: 'clear',
    runs: [run('palehoop', 'O', '2025-02-22T19:40:00', 19), run('palehoop', 'H', '2025-02-22T22:05:00', 12)],
  },
];

/** When the first sub of a line was taken. */
export const firstStart = (target: TargetName, line: Line): string =>
  SEASON.flatMap(({ runs }) => runs).find((r) => r.target === target && r.line === line)!.start;
