import { patternParts } from './pattern.ts';
import { walk } from './walk.ts';

/** The pictures of the stars of one target, or why there are none. */
export interface StarsFound {
  readonly stars?: readonly string[];
  readonly starsFault?: string;
}

/** Of a target that is to have none. */
export const NO_STARS: StarsFound = {};

/** Three planes of a cube: `#1..3`. */
const PLANES = /#\d+\.\.\d+$/;

/**
 * Finds pictures of stars by name. A target without one, or with several for one pattern, is told so; others have theirs.
 * @param patterns one, or three for red, green and blue
 * @param folder absolute
 */
export const starsByTarget = async (
  patterns: readonly string[],
  folder: string,
): Promise<(target: string) => StarsFound> => {
  const found = await Promise.all(patterns.map((pattern) => filesByTarget(pattern, folder)));
  return (target) => {
    const stars: string[] = [];
    for (const [i, files] of found.entries()) {
      const [file, ...others] = files.get(target) ?? [];
      if (file === undefined) return { starsFault: `no picture of the stars matches ${patterns[i]}` };
      if (others.length > 0) return { starsFault: `several match ${patterns[i]}: ${[file, ...others].join(', ')}` };
      stars.push(file);
    }
    return { stars };
  };
};

const filesByTarget = async (pattern: string, folder: string): Promise<Map<string, string[]>> => {
  const planes = PLANES.exec(pattern)?.[0] ?? '';
  const found = await walk(folder, patternParts(pattern.slice(0, pattern.length - planes.length)), () => false);
  const files = new Map<string, string[]>();
  for (const { path, target } of found) files.set(target!, [...(files.get(target!) ?? []), path + planes]);
  return files;
};
