import '../../playground/elements/wall/wall.ts';
import type { LitElement } from 'lit';
import { CATALOGUE } from '../../lib/palettes/catalogue.ts';
import { $candidates, $hung, $pinned } from '../../playground/state/candidates.ts';
import { $chosen } from '../../playground/state/chosen.ts';
import { $masters } from '../../playground/state/masters.ts';
import { $recipe, beginWith } from '../../playground/state/recipe.ts';
import { $tools } from '../../playground/state/tools.ts';
import { $figures, $order, $part, $wall } from '../../playground/state/wall.ts';
import { equal, ok } from './assert.ts';
import { clean, find, master, mount, preview, settled, spoken } from './support.ts';

describe('lw-wall', () => {
  let wall: LitElement;
  const uses = () => [...wall.shadowRoot!.querySelectorAll<HTMLButtonElement>('.use')];
  const shown = () => uses().map((button) => button.querySelector('.name')!.textContent!.trim());
  const press = (name: string) =>
    [...wall.shadowRoot!.querySelectorAll('button')].find((b) => b.getAttribute('aria-label') === name)!.click();

  beforeEach(async () => {
    $masters.set([master('S'), master('H'), master('O')]);
    $hung.set([]);
    $pinned.set([]);
    $order.set('listed');
    $part.set(undefined);
    beginWith(CATALOGUE[0]!.recipe);
    wall = await mount('lw-wall');
  });
  afterEach(() => $tools.set([]));

  it('has a button for each recipe, pressed where it is on screen', async () => {
    $masters.set([master('H'), master('O')]);
    beginWith(CATALOGUE.find(({ id }) => id === 'hoo')!.recipe);
    $wall.set({ hoo: preview() });
    await settled(wall);
    const buttons = await spoken('button');
    equal(
      buttons.filter(({ pressed }) => pressed === 'true').map(({ name }) => name.trim()),
      ['HOO on screen'],
    );
    // Recipes that need S say so and cannot be chosen.
    const sho = buttons.find(({ name }) => name.includes('SHO'))!;
    equal([sho.disabled, sho.name.includes('needs S')], [true, true]);
    await clean(wall);
  });

  it('makes a recipe current on a click', () => {
    uses()[1]!.click();
    equal($recipe.get(), CATALOGUE[1]!.recipe);
  });

  it('pins candidates to the top, and takes them back', async () => {
    const [first, second, third] = shown();
    press(`Pin: ${third}`);
    await settled(wall);
    equal(shown().slice(0, 2), [third, first!.replace(/on screen$/, 'on screen')]);
    ok(
      (await spoken('button')).some(({ name }) => name === `Unpin: ${third}`),
      'its button now unpins',
    );
    press(`Unpin: ${third}`);
    await settled(wall);
    equal(shown().slice(1, 3), [second, third]);
  });

  it('keeps variants of the mix on screen under names of their own', async () => {
    find<HTMLButtonElement>(wall, '.keep').click();
    beginWith({ ...$recipe.get(), greenLimit: 0.5 });
    find<HTMLButtonElement>(wall, '.keep').click();
    await settled(wall);
    const names = $hung.get().map(({ recipe }) => recipe.name);
    equal(new Set(names).size, 2);
    ok(
      names.every((name) => /^Ember, variant \d+$/.test(name!)),
      `${names}`,
    );
    equal(shown().length, CATALOGUE.length + 2);
    press(`Take down: ${names[0]}`);
    await settled(wall);
    equal($candidates.get().length, CATALOGUE.length + 1);
    await clean(wall);
  });

  it('is ordered by a figure, best first, and says it', async () => {
    const figures = (separation: number, noise: number) => ({ separation, noise, outside: 0 });
    $order.set('separation');
    $figures.set({ ember: figures(20, 0.03), sho: figures(61.4, 0.05), hoo: figures(44, 0.01) });
    await settled(wall);
    equal(shown().slice(0, 2), ['SHO', 'HOO']);
    equal(find(wall, 'li .figure').textContent, 'ΔE 61');
    $order.set('noise');
    await settled(wall);
    equal(
      shown()
        .slice(0, 2)
        .map((name) => name.slice(0, 5)),
      ['HOO', 'Ember'],
    );
    equal(find(wall, 'li .figure').textContent, '10 ‰');
  });

  it('loads its choices of order and crop when they are opened', async () => {
    const details = find<HTMLDetailsElement>(wall, 'details');
    details.open = true;
    await customElements.whenDefined('lw-wall-arrange');
    await settled(wall);
    const [order] = await spoken('combobox');
    equal([order!.name, order!.value], ['Order by', 'as listed']);
    equal(
      (await spoken('checkbox')).map(({ name }) => name.trim()),
      ['Show the part that the picture shows'],
    );
    await clean(wall);
  });

  it('sets up to three candidates against the mix, and takes them back', async () => {
    press('Compare: HOO');
    equal([$tools.get(), $chosen.get()], [['compare'], ['hoo']]);
    await settled(wall);
    for (const name of ['SHO', 'Gilt', 'Ember']) press(`Compare: ${name}`);
    equal($chosen.get(), ['hoo', 'sho', 'ember']);
    await settled(wall);
    equal(
      (await spoken('button')).filter(({ name, pressed }) => /^Compare/.test(name) && pressed === 'true').length,
      3,
    );
    press('Compare: SHO');
    equal($chosen.get(), ['hoo', 'ember']);
  });

  it('shows the part of the masters that it is told', async () => {
    const picture = preview(50, 20);
    // The right half is green.
    for (let i = 0; i < 50 * 20; i++) if (i % 50 >= 25) picture.data.set([0, 255, 0, 255], 4 * i);
    $wall.set({ ember: picture });
    const centre = () => {
      const canvas = find<HTMLCanvasElement>(wall, 'li lw-band', 'canvas');
      return [...canvas.getContext('2d')!.getImageData(60, canvas.height >> 1, 1, 1).data];
    };
    await settled(wall);
    equal(centre(), [200, 100, 50, 255]);
    $part.set({ x: 30, y: 6, width: 20, height: 8 });
    await settled(wall);
    equal(centre(), [0, 255, 0, 255]);
  });
});
