import type { Remedy } from '../lib/plane/errors.ts';

/** What helps on the page, by the option that other front ends would be given. */
const remedies: Readonly<Record<Remedy['option'], (line: string) => string>> = {
  force: () => 'Choose another name.',
  apart: () => 'Register the masters of this line to one frame, or close one of them.',
  time: (line) => `Type the hours of ${line} under Hours.`,
  sky: (line) => `Give the sky of ${line} too, or leave its read noise out.`,
  box: () => 'Draw a box around the feature with Boxes.',
  share: () => 'Use a recipe that states the share, or one without a continuum.',
  scale: () => 'Use a recipe whose scale does not depend on hours, or a master whose header states them.',
};

const list = (words: readonly string[]): string => words.join(', ');

/** What the page says of what went wrong, and what can be done about it. */
export const messages = {
  label: 'Messages',
  dismiss: 'Dismiss',
  defect: 'Linewash made a mistake of its own.',
  entry: (number: number) => `entry ${number}`,
  notAllowed: 'a recipe cannot have this value here',
  remedies,
  unsaid: 'This cannot be done with these masters and this recipe.',
  restarted: 'The worker stopped and was started again; your mix is as it was.',
  noWeights: 'All weights are zero: there is nothing to mix.',
  missing: (lines: readonly string[]) =>
    `This mix needs ${list(lines)}, and no master stands for ${lines.length > 1 ? 'them' : 'it'}.`,
  missingAdvice: 'Give a master that line, or choose another recipe.',
  notOpened: (file: string) => `${file} is neither a master nor a recipe`,
};
