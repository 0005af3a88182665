import { atom, computed } from 'nanostores';
import type { WrittenRecipe } from '../../lib/recipe/written/schema.ts';
import type { SurfaceView } from '../../lib/web/surface.ts';
import type { Layer } from '../model/draw-picture.ts';
import { askOnChange } from './ask-on-change.ts';
import { engine } from './engine.ts';
import { $lines } from './masters.ts';
import { FINE } from './picture.ts';
import { $recipe } from './recipe.ts';

/** What is shown of a line: itself, its background surface, or what is left when that is taken off. */
export const SKY_VIEWS = ['line', 'surface', 'rest'] as const;
export type SkyView = (typeof SKY_VIEWS)[number];

const $chosen = atom<string | undefined>(undefined);
export const $skyView = atom<SkyView>('surface');

/** The orders that can be tried; `best` is the most certain one. */
export const TRIED = ['best', 1, 2, 3, 4] as const;

/** The order that is looked at while the recipe takes no surface off. */
export const $tried = atom<(typeof TRIED)[number]>('best');

/** The line that is looked at. */
export const $skyLine = computed([$chosen, $lines], (chosen, lines) => {
  const names = Object.keys(lines);
  return chosen !== undefined && names.includes(chosen) ? chosen : names[0];
});

export const chooseSkyLine = (line: string): void => $chosen.set(line);

/** The surface that the recipe takes off, or the one that is tried. */
export const $wish = computed([$recipe, $tried], ({ background }, order) =>
  background?.model === 'surface'
    ? background
    : { ...background, model: 'surface' as const, ...(order !== 'best' && { order }) },
);

/** The surface with the pictures of its line; undefined until it is known. */
export const $sky = atom<{ readonly view: SurfaceView; readonly layer: Layer } | undefined>(undefined);

/** One line as a grey picture, with its sky as it is or with the surface taken off. */
const greyRecipe = (line: string, background: WrittenRecipe['background'], zeros: WrittenRecipe['zeros']) => ({
  channels: [line],
  matrix: [[1], [1], [1]],
  ...(background && { background }),
  ...(zeros && { zeros }),
});

askOnChange($sky, {
  topic: 'sky',
  on: [$skyLine, $skyView, $wish, $lines],
  forgets: true,
  async ask(signal) {
    const [line, lines, background, { zeros }] = [$skyLine.get(), $lines.get(), $wish.get(), $recipe.get()];
    if (line === undefined) return undefined;
    const shown = $skyView.get();
    const question = { lines, line, zeros: zeros ?? ('undefined' as const), background };
    const view = await engine().call('surface', question, { signal });
    if (shown === 'surface') return { view, layer: view };
    const recipe = greyRecipe(line, shown === 'rest' ? background : undefined, zeros);
    const picture = await engine().call('preview', { lines, recipe, longest: FINE }, { signal });
    return { view, layer: { picture, box: { x: 0, y: 0, ...picture.full } } };
  },
});
