import type { RejectedReport } from '../node/rejected-file.ts';
import { harmless, type Streams } from './streams.ts';

/** Says how the picture of rejected pixels shows each master. */
export const reportRejected = (file: string, rejected: readonly RejectedReport[], streams: Streams): void => {
  for (const { line, file: master, pixels, colour, value } of rejected) {
    const sign = colour ?? `value ${value}`;
    streams.err(`linewash: ${harmless(file)}: ${sign}: ${pixels} pixels of ${line}, ${harmless(master)}\n`);
  }
};
