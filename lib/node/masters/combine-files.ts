import type { PlaneSource } from '../../plane/plane.ts';
import type { Match, MatchedPart } from '../../prepare/match.ts';
import { combineLine } from '../../recipe/settle/combine-line.ts';
import { fileIdentity, recollection } from '../files/file-identity.ts';
import type { MasterFile, OpenOptions } from './master.ts';

/** What stays of a match when its files are closed. */
type KnownMatch = Omit<Match, 'parts'> & { readonly parts: readonly Omit<MatchedPart, 'source'>[] };

/** A few, as masks of outliers take room. */
const known = recollection<KnownMatch>(8);

/**
 * Combines the files of a line, not again where this process combined the same files before.
 * @throws LinewashError 'input' as `combineLine` does
 */
export const combineOnce = async (
  files: readonly MasterFile[],
  sources: readonly PlaneSource[],
  { zeros, apart, ...options }: OpenOptions,
): Promise<Match> => {
  const identities = files.map(({ bytes, spelling }) => [spelling, fileIdentity(bytes.path)]);
  const key = JSON.stringify([identities, zeros ?? 'undefined', apart ?? false]);
  const before = known.get(key);
  if (before !== undefined)
    return { ...before, parts: before.parts.map((part, i) => ({ ...part, source: sources[i]! })) };
  const match = await combineLine(sources, { ...options, apart });
  known.set(key, { ...match, parts: match.parts.map(({ source: _, ...part }) => part) });
  return match;
};
