import '../../playground/elements/line-colour/line-colour.ts';
import '../../playground/elements/weights/weights.ts';
import type { LitElement } from 'lit';
import { readColourText, showColour } from '../../playground/model/colour-text.ts';
import { $history } from '../../playground/state/history.ts';
import { $masters } from '../../playground/state/masters.ts';
import { $picture } from '../../playground/state/picture.ts';
import { $recipe, beginWith } from '../../playground/state/recipe.ts';
import { equal } from './assert.ts';
import { clean, find, master, mount, names, press, preview, settled, spoken, until } from './support.ts';

const plain = {
  channels: ['S', 'H', 'O'],
  matrix: [
    [0, 1, 0],
    [0.25, 0, 0.75],
    [0, 0, 1],
  ],
};

describe('a written colour', () => {
  it('is CSS, or a wavelength with point or comma', () => {
    equal(readColourText(' teal '), { entry: 'teal' });
    equal(readColourText('656,28 nm'), { entry: { wavelength: 656.28 } });
    equal(readColourText('500.7'), { entry: { wavelength: 500.7 } });
    equal(readColourText('900 nm'), { fault: 'outside' });
    equal(readColourText('  '), { fault: 'none' });
  });

  it('is shown as it was written, computed colours as a code', () => {
    equal(showColour({ wavelength: 656.28 }, [255, 0, 0]), '656.28 nm');
    equal(showColour('teal', [0, 128, 128]), 'teal');
    equal(showColour('color(srgb 0 0.5 0.5)', [0, 128, 128]), '#008080');
    equal(showColour(undefined, undefined), '');
  });
});

describe('lw-line-colour', () => {
  let table: LitElement;
  beforeEach(async () => {
    $masters.set(['S', 'H', 'O'].map((line) => master(line)));
    beginWith(plain);
    $picture.set(preview());
    table = await mount('lw-weights');
  });

  const field = (column: number, type: string) =>
    find<HTMLInputElement>(table, `thead th:nth-of-type(${column}) lw-line-colour`, `[type=${type}]`);

  it('is a colour to choose and a text to write, by name', async () => {
    equal((await spoken('ColorWell'))[0], {
      ...(await spoken('ColorWell'))[0]!,
      name: 'Colour of S',
      value: '#004000',
    });
    equal(
      (await spoken('textbox')).map(({ name, value }) => `${name}: ${value}`),
      ['Colour of S, written: #004000', 'Colour of H, written: #ff0000', 'Colour of O, written: #00bfff'],
    );
    await clean(table);
  });

  it('turns a chosen colour into the column of weights, as one step with a name', async () => {
    field(3, 'color').value = '#336699';
    field(3, 'color').dispatchEvent(new Event('input'));
    // Display values are mixed: the weights are 51, 102 and 153 over 255.
    await until(() => $recipe.get().matrix![2]![2] === 0.6);
    equal($recipe.get().matrix, [
      [0, 1, 0.2],
      [0.25, 0, 0.4],
      [0, 0, 0.6],
    ]);
    equal($history.get().present.label, 'colour of O');
  });

  it('keeps a written wavelength in a recipe of colours', async () => {
    beginWith({ lines: { S: '#ff8800', H: '#ff0000', O: '#0000ff' } });
    await settled(table);
    field(2, 'text').focus();
    field(2, 'text').value = '656,28 nm';
    field(2, 'text').dispatchEvent(new Event('input'));
    await press('Enter');
    await until(() => typeof $recipe.get().lines?.H === 'object');
    equal($recipe.get().lines, { S: '#ff8800', H: { wavelength: 656.28 }, O: '#0000ff' });
  });

  it('says what is no colour and leaves the recipe as it was', async () => {
    field(1, 'text').focus();
    field(1, 'text').value = 'url(x)';
    field(1, 'text').dispatchEvent(new Event('input'));
    await press('Enter');
    const element = find<LitElement>(table, 'thead th:nth-of-type(1) lw-line-colour');
    await until(() => element.shadowRoot!.querySelector('[role=alert]') !== null);
    equal((await names('alert')).length, 1);
    equal(field(1, 'text').getAttribute('aria-invalid'), 'true');
    equal($recipe.get(), plain);
    await clean(table);
    await press('Escape');
    await settled(element);
    equal(field(1, 'text').value, '#004000');
  });
});
