import { copyFault, isSamePicture, pairsOf } from '../../measure/identity.ts';
import { type ChannelRegistration, referenceOf } from '../../measure/registration/channels.ts';
import { type Place, placeAll } from '../../measure/registration/place-pieces.ts';
import { misfitsOf } from '../../measure/together.ts';
import type { PlaneSource } from '../../plane/plane.ts';
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
  { signal, executor }: Pick<StripOptions, 'signal' | 'executor'> = {},
  cache: FindingsCache = NO_CACHE,
): Promise<readonly string[]> => {
  const found =
    depth === 'headers' ? NOTHING : await compare(masters, zeros ?? 'undefined', { signal, executor }, cache);
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
  const place = reference && placer(reference, options);
  const find = (pair: readonly [Master, Master]): Promise<PairFinding> => {
    const registers = place !== undefined && pair.includes(reference!);
    const [first, second] = ordered(pair, reference);
    const look = async (): Promise<PairFinding> => {
      const placed = registers ? place(second) : undefined;
      const copy = isSamePicture(first.source, second.source);
      await Promise.allSettled([placed, copy]);
      return { copy: await copy, ...(registers && { registration: await placed }) };
    };
    const whole = ({ registration }: PairFinding) => registers === (registration !== undefined);
    return findOnce({ kind: PAIR, known, cache }, [zeros, registers], [first, second], look, whole);
  };
  const pairs = pairsOf(masters);
  // All at once, so that threads share what has to be compared; and to its end, for masters are closed after it.
  const work = pairs.map(find);
  await Promise.allSettled(work);
  const found = await Promise.all(work);
  const registration = pairs.flatMap((pair, i): ChannelRegistration[] => {
    const [first, second] = ordered(pair, reference);
    const place = found[i]!.registration;
    return place?.status === 'found' ? [{ channel: second.name, reference: first.name, ...place }] : [];
  });
  return { copies: pairs.flatMap((pair, i) => (found[i]!.copy ? [copyFault(...pair)] : [])), registration };
};

/** The reference stands first, whichever way round both were given. */
const ordered = ([a, b]: readonly [Master, Master], reference: Master | undefined): readonly [Master, Master] =>
  b === reference ? [b, a] : [a, b];

/**
 * How masters lie on a reference: at a glance where they are in place, measured where that does not show. Those that are
 * asked for at once are measured together.
 */
const placer = (reference: Master, options: StripOptions) => {
  let asked: PlaneSource[] = [];
  let places: Promise<readonly Place[]> | undefined;
  return async ({ source }: Master): Promise<Place> => {
    const i = asked.push(source) - 1;
    places ??= Promise.resolve().then(() => {
      const together = asked;
      asked = [];
      places = undefined;
      return placeAll(reference.source, together, { glances: true }, options);
    });
    return (await places)[i]!;
  };
};
