import { DEFAULTS } from '../../lib/recipe/written/canonical.ts';
import { recipeSchema, type WrittenRecipe } from '../../lib/recipe/written/schema.ts';
import { text } from '../text-choices.ts';
import { channelsOf } from './columns.ts';

/** A choice of one among a few words, as the page shows it. */
export interface Choice {
  readonly key: string;
  readonly label: string;
  readonly options: readonly { readonly value: string; readonly words: string }[];
  /** The option that the recipe has. */
  read(recipe: WrittenRecipe): string;
  write(recipe: WrittenRecipe, value: string): WrittenRecipe;
}

type Words = Readonly<Record<string, string>>;
type PlainKey = 'zeros' | 'mixIn' | 'highlights' | 'gamut' | 'space' | 'greenMean';

/** The words that the schema allows for a key. */
const allowed = (key: PlainKey): readonly string[] =>
  (recipeSchema.entries[key] as unknown as { wrapped: { options: readonly string[] } }).wrapped.options;

const optionsOf = (values: readonly string[], words: Words) =>
  values.map((value) => ({ value, words: words[value] ?? value }));

/** The recipe with a key set; what says only the default is left out. */
export const withKey = <K extends keyof WrittenRecipe>(
  recipe: WrittenRecipe,
  key: K,
  value: WrittenRecipe[K],
): WrittenRecipe => {
  const { [key]: _, ...rest } = recipe;
  const usual = key === 'greenMean' ? 'mean' : DEFAULTS[key];
  return (value === undefined || value === usual ? rest : { ...rest, [key]: value }) as WrittenRecipe;
};

/** A key of the recipe whose value is one of the schema's words. */
const plainChoice = (key: PlainKey, label: string, words: Words): Choice => ({
  key,
  label,
  options: optionsOf(allowed(key), words),
  read: (recipe) => String(recipe[key] ?? (key === 'greenMean' ? 'mean' : DEFAULTS[key])),
  write: (recipe, value) => withKey(recipe, key, value as never),
});

const background: Choice = {
  key: 'background',
  label: text.background,
  options: optionsOf(Object.keys(text.backgrounds), text.backgrounds),
  read: ({ background: { model = 'level', order } = {} }) =>
    model === 'surface' && order !== undefined ? `${model} ${order}` : model,
  write(recipe, value) {
    const [model, order] = value.split(' ') as ['level' | 'surface' | 'none', string?];
    const { include, exclude, reject, shadows, from, at } = recipe.background ?? {};
    const kept = { ...(from !== undefined && { from }), ...(at && { at }) };
    if (model !== 'surface') return { ...recipe, background: { ...kept, model } };
    const limits = { ...(include && { include }), ...(exclude && { exclude }), ...(reject && { reject }) };
    const surface = { ...limits, ...(shadows && { shadows }), ...(order && { order: Number(order) as 1 | 2 | 3 | 4 }) };
    return { ...recipe, background: { ...kept, model, ...surface } };
  },
};

const from = ({ background: now }: WrittenRecipe): Choice => ({
  key: 'from',
  label: text.from,
  // A box is drawn on the picture; here it can only be kept or given up.
  options: optionsOf(['', 'clip', 'dark-blocks', ...(Array.isArray(now?.from) ? ['box'] : [])], text.froms),
  read: ({ background: { from: place } = {} }) => (Array.isArray(place) ? 'box' : (place ?? '')),
  write(recipe, value) {
    const { from: _, at: _at, ...rest } = recipe.background ?? {};
    if (value === 'box') return recipe;
    return { ...recipe, background: value === '' ? rest : { ...rest, from: value as 'clip' | 'dark-blocks' } };
  },
});

const scale = ({ scale: now }: WrittenRecipe): Choice => {
  const numbers = typeof now === 'object' && !('mode' in now);
  const { numbers: given, ...modes } = text.scales;
  return {
    key: 'scale',
    label: text.scale,
    options: optionsOf([...Object.keys(modes), ...(numbers ? ['numbers'] : [])], { ...modes, numbers: given }),
    read: ({ scale: mode = 'each' }) => (typeof mode === 'string' ? mode : 'mode' in mode ? 'fit' : 'numbers'),
    write: (recipe, value) => (value === 'numbers' ? recipe : withKey(recipe, 'scale', value as 'each')),
  };
};

const lightness = (recipe: WrittenRecipe): Choice => {
  const row = Array.isArray(recipe.lightness);
  const lines = channelsOf(recipe).map((line) => ({ value: line, words: text.lightnessLine(line) }));
  const words = optionsOf(['', 'least-noise', ...(row ? ['row'] : [])], text.lightnesses);
  return {
    key: 'lightness',
    label: text.lightness,
    options: [...words, ...lines],
    read: ({ lightness: now }) => (Array.isArray(now) ? 'row' : (now ?? '')),
    write: (before, value) => (value === 'row' ? before : withKey(before, 'lightness', value === '' ? null : value)),
  };
};

/** The choices of each part of the panel, in the order in which a pixel meets them. */
export const choicesOf = (recipe: WrittenRecipe) => ({
  sky: [background, from(recipe), scale(recipe), plainChoice('zeros', text.zeros, text.zerosAre)],
  mixing: [
    plainChoice('mixIn', text.mixIn, text.mixIns),
    lightness(recipe),
    ...(recipe.greenLimit ? [plainChoice('greenMean', text.greenMean, text.greenMeans)] : []),
  ],
  colours: [
    plainChoice('highlights', text.highlights, text.highlightsAre),
    plainChoice('gamut', text.gamut, text.gamuts),
    plainChoice('space', text.space, text.spaces),
  ],
});
