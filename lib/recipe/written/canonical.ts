import { DEFAULT_GAMUT } from '../../colour/gamut.ts';
import { channelsOf } from './facts-of.ts';
import { bendsOf } from './finish-wish.ts';
import { USUAL_SCALES, USUAL_STAR_RADIUS, USUAL_UNTIL } from './limits.ts';
import { plainRecipe } from './plain.ts';
import type { Recipe, WrittenRecipe } from './schema.ts';
import { changesOwnStars } from './star-wish.ts';

/** What a recipe means where it says nothing. */
export const DEFAULTS: Readonly<Record<string, unknown>> = {
  balance: 'as-written',
  space: 'srgb',
  mixIn: 'display',
  scale: 'each',
  zeros: 'undefined',
  highlights: 'ratio',
  gamut: DEFAULT_GAMUT,
  lightness: null,
  greenLimit: 0,
  background: {},
};
/**
 * What the canonical form leaves out: what a recipe of version 1 means where it says nothing. The gamut method of later
 * versions is written out, so that every recipe keeps the hash that it had.
 */
export const OMITTED: Readonly<Record<string, unknown>> = { ...DEFAULTS, gamut: 'chroma' };
/** Parts whose entry for `*` stands for every channel that has none of its own. */
const BY_CHANNEL: readonly (keyof Recipe)[] = ['stretch', 'levels', 'white'];
/** What a stretch means where it says nothing. */
export const STRETCH_DEFAULTS: Readonly<Record<string, unknown>> = { curve: 'bias', background: 0.12 };
/** Words about a recipe, which change no picture. */
const WORDS: readonly string[] = ['linewash', 'name', 'about', 'by', 'licence'];

type Json = Readonly<Record<string, unknown>>;

/**
 * A recipe reduced to what decides the picture: weights as numbers at the present setting of the knobs (to nine
 * decimals), other numbers to nine significant digits, nothing that says the default, entries by channel in full, keys in
 * alphabetical order; no words, no `x-` keys.
 * Two recipes with equal canonical forms make the same picture of the same masters.
 * @throws LinewashError as `plainRecipe` does
 */
export const canonicalForm = async (written: WrittenRecipe): Promise<Json> => {
  const recipe = await plainRecipe(written);
  const names = channelsOf(recipe);
  const parts = Object.entries(recipe).filter(([key]) => !WORDS.includes(key) && !key.startsWith('x-'));
  const form: Record<string, unknown> = { gamut: DEFAULT_GAMUT, ...Object.fromEntries(parts), channels: names };
  for (const part of BY_CHANNEL) {
    // In light one curve serves all, that of `*`.
    const keys = part === 'stretch' && recipe.mixIn === 'light' ? ['*'] : names;
    const entries = expand(recipe[part] as Json | undefined, keys, part === 'stretch' ? STRETCH_DEFAULTS : {});
    if (entries === undefined) delete form[part];
    else form[part] = entries;
  }
  if (recipe.background !== undefined) form.background = backgroundForm(recipe.background);
  const spots = spotsForm(recipe.spots, names);
  if (spots) form.spots = spots;
  else delete form.spots;
  const smooth = smoothForm(recipe.smooth, names);
  if (smooth) form.smooth = smooth;
  else delete form.smooth;
  const stars = starsForm(recipe.stars);
  if (stars) form.stars = stars;
  else delete form.stars;
  const finish = finishForm(recipe.finish);
  if (finish) form.finish = finish;
  else delete form.finish;
  return sorted(without(form, OMITTED)) as Json;
};

/** Places by rows; a line without any is left out. */
const spotsForm = (spots: Recipe['spots'], names: readonly string[]): Json | 'fill' | undefined => {
  if (typeof spots !== 'object') return spots;
  const rising = (places: readonly (readonly [number, number])[]) =>
    [...places].sort((a, b) => a[1] - b[1] || a[0] - b[0]);
  const entries = names.flatMap((name) => (spots[name]?.length ? [[name, rising(spots[name])] as const] : []));
  return entries.length > 0 ? Object.fromEntries(entries) : undefined;
};

/** Without strength nothing is smoothed; lines stand in the order of the channels. */
const smoothForm = (smooth: Recipe['smooth'], names: readonly string[]): Json | undefined => {
  if (!smooth?.strength) return undefined;
  const { lines, ...rest } = smooth;
  return without(
    { ...rest, ...(lines && { lines: names.filter((name) => lines.includes(name)) }) },
    { scales: USUAL_SCALES },
  );
};

/** Parts of a finish that change nothing are left out. */
const finishForm = (finish: Recipe['finish'] = {}): Json | undefined => {
  const { tone = [], chroma } = finish;
  const inner = tone.some(([x, y]) => x !== y) ? tone.filter(([x, y]) => x !== y || (x !== 0 && x !== 1)) : [];
  const gains = chroma === 'auto' ? {} : chroma && without({ ...chroma }, { until: USUAL_UNTIL });
  const bends = bendsOf(finish).filter(({ at, to, chroma: factor }) => at !== to || factor !== 1);
  const form = {
    ...(inner.length > 0 && { tone: inner }),
    ...(gains && gains.gain !== 1 && { chroma: gains }),
    ...(bends.length > 0 && { bends }),
  };
  return Object.keys(form).length > 0 ? form : undefined;
};

/** Stars that stay as they are, and a way to lay a picture of them over that says nothing, are no part of the picture. */
const starsForm = (stars: Recipe['stars']): Json | undefined => {
  if (stars === undefined || (stars.from === 'masters' && !changesOwnStars(stars))) return undefined;
  const said = without({ ...stars }, { from: 'picture', strength: 1, neutral: 1, size: 1, radius: USUAL_STAR_RADIUS });
  return Object.keys(said).length > 0 ? said : undefined;
};

/** Order 2 is what version 1 meant by a surface without an order; since then the most certain order is meant. */
const backgroundForm = (background: NonNullable<Recipe['background']>): Json => {
  if (background.model === 'level') return without(background, { model: 'level' });
  const stated = background.coefficients !== undefined || background.surfaces !== undefined;
  if (background.model !== 'surface' || stated) return background;
  return without({ order: 'best', ...background }, { order: 2 });
};

/** The entry of each channel, laid over that of `*`, without defaults; undefined where nothing is left. */
const expand = (entries: Json | undefined, names: readonly string[], defaults: Json): Json | undefined => {
  if (entries === undefined) return undefined;
  const full = names.flatMap((name) => {
    const own = entries[name];
    const common = entries['*'];
    if (own === undefined && common === undefined) return [];
    const entry =
      typeof (own ?? common) === 'object'
        ? without({ ...(common as Json), ...(own as Json) }, defaults)
        : (own ?? common);
    return typeof entry === 'object' && Object.keys(entry as Json).length === 0 ? [] : [[name, entry] as const];
  });
  return full.length > 0 ? Object.fromEntries(full) : undefined;
};

const without = (value: Json, defaults: Json): Json =>
  Object.fromEntries(
    Object.entries(value).filter(
      ([key, entry]) =>
        entry !== undefined && !(key in defaults && JSON.stringify(entry) === JSON.stringify(defaults[key])),
    ),
  );

const sorted = (value: unknown, weights = false): unknown => {
  // What line colours leave at 1e-17 is no weight.
  if (typeof value === 'number') return Number(weights ? value.toFixed(9) : value.toPrecision(9)) + 0;
  if (Array.isArray(value)) return value.map((entry) => sorted(entry, weights));
  if (typeof value !== 'object' || value === null) return value;
  const entries = Object.entries(value).filter(([, entry]) => entry !== undefined);
  return Object.fromEntries(
    entries
      .sort(([a], [b]) => (a < b ? -1 : 1))
      .map(([key, entry]) => [key, sorted(entry, key === 'matrix' || key === 'lightness')]),
  );
};
