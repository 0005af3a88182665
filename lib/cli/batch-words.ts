import { relative } from 'node:path';
import type { PictureDecision } from '../node/batch/decide.ts';
import type { Pace } from '../node/batch/pace.ts';
import type { PictureReport } from '../node/batch/picture-report.ts';
import type { BatchResult } from '../node/batch/run.ts';
import { adviceWords } from './report.ts';
import { harmless } from './streams.ts';

/** A path as short as it can be said from here. */
const short = (path: string): string => {
  const near = relative('', path);
  return near.length < path.length && near !== '' ? near : path;
};

/** `48 s`, `3 min 20 s`, `2 h 05 min`. */
export const durationText = (seconds: number): string => {
  const s = Math.round(seconds);
  if (s < 60) return `${s} s`;
  const pad = (n: number) => String(n).padStart(2, '0');
  if (s < 3600) return `${Math.floor(s / 60)} min ${pad(s % 60)} s`;
  return `${Math.floor(s / 3600)} h ${pad(Math.floor((s % 3600) / 60))} min`;
};

/** Beside the bar: how many are done and how long it still takes. */
export const restText = ({ done, total, secondsLeft }: Pace): string =>
  `${done} of ${total}${secondsLeft === undefined ? '' : `, ${durationText(secondsLeft)} left`}`;

const STATUS: Readonly<Record<PictureReport['status'], string>> = {
  made: 'made',
  kept: 'up to date',
  failed: 'FAILED',
  left: 'not done',
};

/** One line for one picture, where there is no terminal to draw a bar on. */
export const finishedLine = (pace: Pace, { status, output, why }: PictureReport): string => {
  const reason = status === 'kept' ? '' : ` (${why})`;
  const rest =
    pace.secondsLeft === undefined || pace.done === pace.total ? '' : `; ${durationText(pace.secondsLeft)} left`;
  return harmless(`${pace.done}/${pace.total} ${STATUS[status]}: ${short(output)}${reason}${rest}`);
};

/** The whole in a few lines: counts, then each failure with its reason and what to do. */
export const summaryLines = (result: BatchResult): string[] => {
  const { made, kept, failed, left, seconds, sheet } = result;
  const counts = [`${made} made`, `${kept} up to date`, `${failed} failed`, ...(left > 0 ? [`${left} not done`] : [])];
  const faults = result.pictures.filter(({ status }) => status === 'failed');
  return [
    `${counts.join(', ')} in ${durationText(seconds)}`,
    ...faults.flatMap(({ target, recipe, output, why, ...help }) => [
      `failed: ${target} by ${recipe} → ${short(output)}: ${why}`,
      ...(help.advice === undefined ? [] : [`  → ${adviceWords(help)}`]),
    ]),
    ...(sheet === undefined ? [] : [`sheet: ${short(sheet.output)} (${sheet.status === 'made' ? 'made' : sheet.why})`]),
  ].map(harmless);
};

const ACTIONS: Readonly<Record<PictureDecision['action'], string>> = { make: 'make', keep: 'keep', refuse: 'CANNOT' };

/** What would be done, a line a picture, then the counts. */
export const decisionLines = (decisions: readonly PictureDecision[]): string[] => {
  const count = (action: PictureDecision['action']) => decisions.filter((d) => d.action === action).length;
  const lines = decisions.map(({ action, output, why }) => `${ACTIONS[action].padEnd(6)} ${short(output)} (${why})`);
  return [...lines, `${count('make')} to make, ${count('keep')} up to date, ${count('refuse')} impossible`].map(
    harmless,
  );
};
