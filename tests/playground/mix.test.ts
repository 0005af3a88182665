import '../../playground/elements/knobs/knobs.ts';
import '../../playground/elements/recipe-choice/recipe-choice.ts';
import '../../playground/elements/weights/weights.ts';
import type { LitElement } from 'lit';
import { CATALOGUE } from '../../lib/palettes/catalogue.ts';
import { $masters } from '../../playground/state/masters.ts';
import { $picture } from '../../playground/state/picture.ts';
import { $recipe, beginWith, changeRecipe } from '../../playground/state/recipe.ts';
import { equal } from './assert.ts';
import { clean, find, master, mount, names, press, preview, settled, spoken } from './support.ts';

const ember = CATALOGUE.find(({ id }) => id === 'ember')!.recipe;

describe('lw-weights', () => {
  let table: LitElement;
  beforeEach(async () => {
    $masters.set(['S', 'H', 'O'].map((line) => master(line)));
    beginWith(ember);
    $picture.set(preview());
    table = await mount('lw-weights');
  });

  it('is a table of rows red, green, blue and a column for each line', async () => {
    equal(
      (await names('columnheader')).map((name) => name.split(' ')[1]),
      ['S', 'H', 'O', 'sum'],
    );
    const rows = await names('rowheader');
    equal(
      rows,
      ['red', 'sum 1.00', 'green', 'sum 1.00', 'blue', 'sum 1.00'].map((name) => `rowheader ${name}`),
    );
    const cells = await spoken('spinbutton');
    equal(
      cells.map(({ name, value }) => `${name} ${value}`),
      [
        'S in red 0',
        'H in red 1',
        'O in red 0',
        'S in green 0.25',
        'H in green 0',
        'O in green 0.75',
        'S in blue 0',
        'H in blue 0',
        'O in blue 1',
      ],
    );
    await clean(table);
  });

  it('heads each column with the colour that the line gets alone', async () => {
    // S alone is a quarter green: 0.25 · 255 = 63.75. O alone is 0.75 green with full blue: 191.25.
    equal(
      (await spoken('ColorWell')).map(({ name, value }) => `${name} ${value}`),
      ['Colour of S #004000', 'Colour of H #ff0000', 'Colour of O #00bfff'],
    );
  });

  it('writes a weight into the recipe', async () => {
    const input = find<HTMLInputElement>(table, 'tbody tr:nth-child(3) td:nth-of-type(1) lw-number', 'input');
    input.focus();
    await press('Shift+ArrowUp');
    equal($recipe.get().matrix![2], [0.1, 0, 1]);
  });

  it('has a column for a line that only the masters have, which becomes part of the recipe when used', async () => {
    $masters.set(['S', 'H', 'O', 'N'].map((line) => master(line)));
    await settled(table);
    const input = find<HTMLInputElement>(table, 'tbody tr:first-child td:nth-of-type(4) lw-number', 'input');
    input.focus();
    await press('Shift+PageUp');
    equal($recipe.get().channels, ['S', 'H', 'O', 'N']);
    equal($recipe.get().matrix, [
      [0, 1, 0, 1],
      [0.25, 0, 0.75, 0],
      [0, 0, 1, 0],
    ]);
  });

  it('offers the ways to balance and says what the chosen one does', async () => {
    const [choice] = await spoken('combobox');
    equal([choice!.name, choice!.value], ['Balance', 'rows to 1']);
    const select = find<HTMLSelectElement>(table, 'select');
    select.value = 'peak';
    select.dispatchEvent(new Event('change'));
    equal($recipe.get().balance, 'peak');
  });
});

describe('lw-knobs', () => {
  it('shows each knob as a slider with a field, and shows expressions in the table', async () => {
    beginWith({
      matrix: [
        [0, 1, 0],
        ['share', 0, '1 - share'],
        [0, 0, 1],
      ],
      knobs: { share: { value: 0.25, about: 'share of S in green' } },
    });
    $picture.set(preview());
    const table = await mount('lw-weights');
    const slider = (await spoken('slider'))[0]!;
    equal([slider.name, slider.value, slider.valuemin, slider.valuemax], ['share', 0.25, 0, 1]);
    equal(
      [...table.shadowRoot!.querySelectorAll('.expression')].map((e) => e.textContent),
      ['share', '1 - share'],
    );
    const cell = (await spoken('spinbutton')).find(({ name }) => name === 'O in green')!;
    equal(cell.value, 0.75);
    find<HTMLInputElement>(table, 'lw-knobs', 'input').focus();
    await press('ArrowRight');
    equal($recipe.get().knobs!.share!.value, 0.255);
    await clean(table);
  });
});

describe('lw-recipe-choice', () => {
  let choice: LitElement;
  beforeEach(async () => {
    beginWith(ember);
    choice = await mount('lw-recipe-choice');
  });

  it('names the recipe and offers the catalogue', async () => {
    const [box] = await spoken('combobox');
    equal([box!.name, box!.value], ['Recipe', 'Ember']);
    equal(find<HTMLSelectElement>(choice, 'select').options.length, CATALOGUE.length);
    await clean(choice);
  });

  it('says when the recipe is changed, and names what can be undone', async () => {
    equal(
      (await spoken('button')).map(({ name, disabled }) => [name, disabled]),
      [
        ['Undo', true],
        ['Redo', true],
      ],
    );
    changeRecipe({ ...ember, balance: 'peak' }, 'balance');
    await settled(choice);
    equal((await spoken('combobox'))[0]!.value, 'Ember, changed');
    equal((await names('button'))[0], 'button Undo: balance');
    find<HTMLButtonElement>(choice, 'button').click();
    await settled(choice);
    equal((await spoken('combobox'))[0]!.value, 'Ember');
    equal((await names('button'))[1], 'button Redo: balance');
    equal($recipe.get(), ember);
  });

  it('takes another recipe from the list', async () => {
    const select = find<HTMLSelectElement>(choice, 'select');
    select.value = 'hoo';
    select.dispatchEvent(new Event('change'));
    equal($recipe.get().name, 'HOO');
  });
});
