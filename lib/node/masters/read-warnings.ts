import type { Master } from './master.ts';

/** What reading a master found odd, each a sentence that names the file. */
export const readWarnings = ({ source }: Master): string[] =>
  source.warnings.map((words) => `${source.file}: ${words}`);
