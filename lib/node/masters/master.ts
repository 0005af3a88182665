import type { Channel } from '../../measure/measure.ts';
import type { StripOptions } from '../../plane/strips.ts';
import type { Match } from '../../prepare/match.ts';
import type { FileSource } from '../files/file-source.ts';

/** One open file of a master. */
export interface MasterFile {
  readonly bytes: FileSource;
  /** The file as given, selector included. */
  readonly spelling: string;
}

/** An open master: one file, or several of one line that are combined into one picture. */
export interface Master extends Channel {
  /** The first file. */
  readonly bytes: FileSource;
  /** All files as given, selectors included. */
  readonly spelling: string;
  readonly files: readonly MasterFile[];
  /** How several files were combined; absent for one. */
  readonly match?: Match;
}

/** How masters are opened. */
export interface OpenOptions extends StripOptions {
  /** Whether zeros, and what resampling leaves of them, connected to the border are missing data; default 'undefined'. */
  readonly zeros?: 'undefined' | 'data' | undefined;
  /** Combines masters of a line that lie more than a pixel apart, with a warning. */
  readonly apart?: boolean | undefined;
}
