import '../../playground/elements/picture/picture.ts';
import '../../playground/elements/compare/compare.ts';
import type { LitElement } from 'lit';
import { CATALOGUE } from '../../lib/palettes/catalogue.ts';
import { $against, $chosen, $earlier, $flick, $other, $split } from '../../playground/state/compare.ts';
import { $masters } from '../../playground/state/masters.ts';
import { $picture } from '../../playground/state/picture.ts';
import { $recipe, beginWith, changeRecipe } from '../../playground/state/recipe.ts';
import { $tools } from '../../playground/state/tools.ts';
import { $camera } from '../../playground/state/view.ts';
import { equal, ok } from './assert.ts';
import { clean, find, master, mount, press, preview, settled, spoken } from './support.ts';

const frame = () => new Promise((resolve) => requestAnimationFrame(() => requestAnimationFrame(resolve)));

describe('comparing', () => {
  let element: LitElement;
  const over = () => find<LitElement>(element, 'lw-compare-over');
  const edge = () => find<HTMLElement>(over(), '[role=slider]');

  beforeEach(async () => {
    $masters.set([master('S'), master('H'), master('O')]);
    beginWith(CATALOGUE[0]!.recipe);
    $picture.set(preview());
    $camera.set(undefined);
    $split.set(0.5);
    $chosen.set('hoo');
    $tools.set(['compare']);
    element = await mount('lw-picture');
    await frame();
    // The other mix is green all over.
    const green = preview();
    for (let i = 0; i < green.data.length; i += 4) green.data.set([0, 255, 0, 255], i);
    $other.set([{ picture: green, box: { x: 0, y: 0, ...green.full } }]);
    await frame();
    await settled(element);
  });
  afterEach(() => $tools.set([]));

  it('is a slider that says what is where', async () => {
    const [slider] = await spoken('slider');
    equal(
      [slider!.name, slider!.value, slider!.valuetext],
      ['Edge between Ember and HOO', 50, 'Ember on the left 50 % of the view, HOO on the rest'],
    );
    await clean(element);
  });

  it('moves by keys', async () => {
    edge().focus();
    const steps: [string, number][] = [
      ['ArrowRight', 0.51],
      ['Shift+ArrowLeft', 0.41],
      ['Home', 0],
      ['PageUp', 0.1],
      ['End', 1],
    ];
    for (const [key, share] of steps) {
      await press(key);
      equal($split.get(), share, key);
    }
    equal($camera.get(), undefined);
  });

  it('shows the same picture point at the same place on both sides', () => {
    // Both canvases are drawn by one function under one camera: where one ends, the other does.
    const columns = (canvas: HTMLCanvasElement) => {
      const { data } = canvas.getContext('2d')!.getImageData(0, canvas.height >> 1, canvas.width, 1);
      const filled = Array.from({ length: canvas.width }, (_, x) => data[4 * x + 3]! > 127);
      return [canvas.width, canvas.height, filled.indexOf(true), filled.lastIndexOf(true)];
    };
    equal(columns(find(over(), 'canvas')), columns(find(element, 'canvas')));
    const canvas = find<HTMLCanvasElement>(over(), 'canvas');
    const pixel = canvas.getContext('2d')!.getImageData(canvas.width >> 1, canvas.height >> 1, 1, 1).data;
    equal([...pixel], [0, 255, 0, 255]);
    equal(getComputedStyle(canvas).clipPath, `inset(0px 0px 0px ${canvas.clientWidth / 2}px)`);
  });

  it('flicks to the other while the space bar is held', async () => {
    const view = find<HTMLElement>(element, '.view');
    view.focus();
    view.dispatchEvent(new KeyboardEvent('keydown', { key: ' ', bubbles: true }));
    await settled(element);
    equal($flick.get(), true);
    equal(getComputedStyle(find(over(), 'canvas')).clipPath, 'inset(0px)');
    view.dispatchEvent(new KeyboardEvent('keyup', { key: ' ', bubbles: true }));
    equal($flick.get(), false);
  });

  it('chooses what stands against the mix, and makes it the mix', async () => {
    const [choice] = (await spoken('combobox')).filter(({ name }) => name === 'With');
    equal(choice!.value, 'HOO');
    const strip = find<LitElement>(element, 'lw-compare');
    const select = find<HTMLSelectElement>(strip, 'select');
    select.value = 'sho';
    select.dispatchEvent(new Event('change'));
    equal($against.get()?.id, 'sho');
    await settled(element);
    [...strip.shadowRoot!.querySelectorAll('button')].at(-1)!.click();
    equal($recipe.get().name, 'SHO');
    // Without a choice of the user's, it is never the mix itself.
    $chosen.set(undefined);
    ok($against.get()?.recipe.name !== 'SHO', 'another mix');
  });

  it('sets any earlier step against the mix as it is now', async () => {
    const before = $recipe.get();
    changeRecipe({ ...before, greenLimit: 0.4 }, 'saturation');
    changeRecipe({ ...before, greenLimit: 0.6 }, 'saturation');
    equal(
      $earlier.get().map(({ recipe, label }) => [recipe.greenLimit, label]),
      [
        [0.4, 'before: saturation'],
        [before.greenLimit, 'before: saturation'],
      ],
    );
    $chosen.set($earlier.get()[1]!.id);
    equal($against.get()!.recipe, before);
    await settled(element);
    ok(edge().getAttribute('aria-label')!.includes('before: saturation'), 'it has the name of the step');
  });
});
