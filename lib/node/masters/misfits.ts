import { copyFault, isSamePicture, pairsOf } from '../../measure/identity.ts';
import { type ChannelRegistration, referenceOf } from '../../measure/registration/channels.ts';
import { createGlance } from '../../measure/registration/glance.ts';
import { createRegistrar } from '../../measure/registration/register.ts';
import { misfitsOf } from '../../measure/together.ts';
import type { StripOptions } from '../../plane/strips.ts';
import type { Recipe } from '../../recipe/written/schema.ts';
import { PAIR, type PairFinding } from '../cache/finding-kinds.ts';
import { type FindingsCache, NO_CACHE } from '../cache/findings-cache.ts';
import { recollection } from '../files/file-identity.ts';
import type { Master } from './master.ts';
import { findOnce } from './memo.ts';

/** By pair, so that recipes of different lines share what they have in common. */
const known = recollection<PairFinding>(256);

/** What to look at: headers alone, which costs nothing, or the pictures as well. */
export type MisfitDepth = 'headers' | 'pictures';

/**
 * What speaks against mixing masters as they were given, each a sentence that names the file: lines swapped against
 * their headers, copies, and pictures that do not lie on one another. Pictures are compared once: not again where this
 * process or an earlier one did so before. Where that cannot be told, nothing is said: `measure` says so.
 * @param masters those that a picture uses, and no others
 */
export const misfitsOnce = async (
  { zeros }: Pick<Recipe, 'zeros'>,
  masters: readonly Master[],
  depth: MisfitDepth,
  { signal }: Pick<StripOptions, 'signal'> = {},
  cache: FindingsCache = NO_CACHE,
): Promise<readonly string[]> => {
  const found = depth === 'headers' ? NOTHING : await compare(masters, zeros ?? 'undefined', { signal }, cache);
  return misfitsOf(masters, found).map(({ words }) => words);
};

const NOTHING = { copies: [], registration: [] };

const compare = async (
  masters: readonly Master[],
  zeros: string,
  options: StripOptions,
  cache: FindingsCache,
): Promise<Parameters<typeof misfitsOf>[1]> => {
  const reference = referenceOf(masters);
  const place = placer(reference);
  const copies = [];
  const registration: ChannelRegistration[] = [];
  for (const pair of pairsOf(masters)) {
    const registers = reference !== undefined && pair.includes(reference);
    // The reference stands first, whichever way round both were given.
    const [first, second] = pair[1] === reference ? [pair[1], pair[0]] : pair;
    const question = [zeros, registers];
    const find = async (): Promise<PairFinding> => {
      const copy = await isSamePicture(first.source, second.source);
      return { copy, ...(registers && { registration: await place(second, options) }) };
    };
    const whole = ({ registration }: PairFinding) => registers === (registration !== undefined);
    const finding = await findOnce({ kind: PAIR, known, cache }, question, [first, second], find, whole);
    if (finding.copy) copies.push(copyFault(...pair));
    if (registers && finding.registration?.status === 'found')
      registration.push({ channel: second.name, reference: first.name, ...finding.registration });
  }
  return { copies, registration };
};

/** How channels lie on a reference: at a glance where they are in place, measured where that does not show. */
const placer = (reference: Master | undefined) => {
  if (reference === undefined) return async () => undefined;
  const glance = createGlance(reference.source);
  const register = createRegistrar(reference.source);
  return async ({ source }: Master, options: StripOptions) =>
    (await glance(source, options)) ?? (await register(source, options));
};
