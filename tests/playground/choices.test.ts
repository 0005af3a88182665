import '../../playground/elements/choices/more.ts';
import type { LitElement } from 'lit';
import { CATALOGUE } from '../../lib/palettes/catalogue.ts';
import { parseRecipe } from '../../lib/recipe/written/parse.ts';
import type { WrittenRecipe } from '../../lib/recipe/written/schema.ts';
import { choicesOf, withKey } from '../../playground/model/choices.ts';
import { withBlack, withCurve, withWhite } from '../../playground/model/curves.ts';
import { $history } from '../../playground/state/history.ts';
import { $recipe, beginWith } from '../../playground/state/recipe.ts';
import { equal, ok } from './assert.ts';
import { clean, find, mount, settled, spoken, until } from './support.ts';

const plain: WrittenRecipe = {
  matrix: [
    [0, 1, 0],
    [0.25, 0, 0.75],
    [0, 0, 1],
  ],
};

const checked = (recipe: WrittenRecipe) => parseRecipe(JSON.stringify(recipe));

describe('the choices of a recipe', () => {
  it('all lead to recipes that are accepted, and say again what was chosen', () => {
    for (const start of [plain, ...CATALOGUE.map(({ recipe }) => recipe)])
      for (const { key, options } of Object.values(choicesOf(start)).flat())
        for (const { value } of options) {
          const choice = Object.values(choicesOf(start))
            .flat()
            .find((one) => one.key === key)!;
          const after = checked(choice.write(start, value));
          equal(choice.read(after), value, `${start.name} ${key}`);
        }
  });

  it('leave no trace of what is the default anyway', () => {
    equal(withKey({ ...plain, gamut: 'clip' }, 'gamut', 'smooth'), plain);
    equal(withKey({ ...plain, greenLimit: 0.5 }, 'greenLimit', 0), plain);
  });

  it('keep boxes when the order of a surface changes, and no coefficients of another', () => {
    const [background] = choicesOf(plain).sky;
    const surface: WrittenRecipe = {
      ...plain,
      background: { model: 'surface', order: 1, exclude: [[0, 0, 9, 9]], coefficients: { S: [1, 2, 3] } },
    };
    equal(checked(background!.write(surface, 'surface 3')).background, {
      model: 'surface',
      order: 3,
      exclude: [[0, 0, 9, 9]],
    });
    equal(checked(background!.write(surface, 'level')).background, { model: 'level' });
  });

  it('reach curves and range', () => {
    const curved = withCurve({ ...plain, stretch: { '*': { a: 3, curve: 'log', background: 0.2 } } }, 'H', 'asinh');
    equal(checked(curved).stretch!.H, { curve: 'asinh', background: 0.2 });
    equal(checked(withWhite(withBlack(plain, 2), 99.5)).levels, {
      '*': { black: { noise: 2 }, white: { percentile: 99.5 } },
    });
  });
});

describe('lw-more-choices', () => {
  let more: LitElement;
  let panel: LitElement;
  beforeEach(async () => {
    beginWith(plain);
    more = await mount('lw-more-choices');
    find<HTMLElement>(more, 'summary').click();
    await until(() => more.shadowRoot!.querySelector('lw-choices')?.shadowRoot?.querySelector('table') != null);
    panel = find(more, 'lw-choices');
    await settled(more);
  });

  it('opens groups of named choices', async () => {
    const groups = (await spoken('group')).map(({ name }) => name).filter((name) => name !== '');
    equal(groups, ['Sky and range', 'Stars', 'Smoothing', 'Curves', 'Mixing', 'Finish', 'Colours']);
    equal(
      (await spoken('combobox')).map(({ name, value }) => `${name}: ${value}`),
      [
        'Sky taken off: its level',
        'Sky found in: what suits the masters',
        'Lines compared by: their own white points',
        'Zeros at the border: are missing data',
        'Weights act on: display values',
        'Lightness from: the mix itself',
        'Brighter than white: keeps its hue',
        'Beyond the colours: less chroma, no jumps',
        'Colours of: sRGB',
        'Curve of S: midpoint',
        'Curve of H: midpoint',
        'Curve of O: midpoint',
      ],
    );
    equal(
      (await spoken('spinbutton')).map(({ name, value }) => `${name}: ${value}`),
      [
        'Black below the sky by: 3',
        'White at percentile: 99.9',
        'Neutral: 0',
        'Size: 1',
        'Smooth: 0',
        'Ceiling on green: 0',
        'Chroma: 1',
        'Sky of S shown at: 0.12',
        'Sky of H shown at: 0.12',
        'Sky of O shown at: 0.12',
      ],
    );
    await clean(more);
  });

  it('changes the recipe in a step with a name', async () => {
    const select = find<HTMLSelectElement>(panel, 'select[data-key=background]');
    select.value = 'surface 2';
    select.dispatchEvent(new Event('change'));
    equal($recipe.get().background, { model: 'surface', order: 2 });
    equal($history.get().present.label, 'sky taken off');
    const curve = find<HTMLSelectElement>(panel, 'tbody tr:nth-child(2) select');
    curve.value = 'linear';
    curve.dispatchEvent(new Event('change'));
    equal($recipe.get().stretch, { H: { curve: 'linear' } });
    await settled(panel);
    // A straight curve has no place for the sky.
    ok(find(panel, 'tbody tr:nth-child(2) td:last-child').textContent!.includes('–'), 'no target');
  });

  it('has one curve for all lines where light is mixed', async () => {
    beginWith({ ...plain, mixIn: 'light' });
    await settled(panel);
    equal(panel.shadowRoot!.querySelectorAll('tbody tr').length, 1);
  });
});
