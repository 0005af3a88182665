import type { Scratch } from '../../plane/scratch.ts';
import { fastLevels } from './fast-levels.ts';
import type { LineLevels } from './levels.ts';
import { plainLevels } from './plain-levels.ts';

/** Levels for searches that never run twice at the same time. */
export const createLevels = (scratch: Scratch): LineLevels => fastLevels() ?? plainLevels(scratch);
