import '../../playground/elements/ledger/ledger.ts';
import type { LitElement } from 'lit';
import { forQuantities } from '../../lib/hours/outputs.ts';
import { CATALOGUE } from '../../lib/palettes/catalogue.ts';
import type { HoursAnswer } from '../../lib/web/hours.ts';
import { $answer } from '../../playground/state/hours.ts';
import { $masters } from '../../playground/state/masters.ts';
import { beginWith } from '../../playground/state/recipe.ts';
import { chooseSurround, SURROUNDS } from '../../playground/state/view.ts';
import { answer, answerWithBox } from '../../playground/story/example-hours.ts';
import { equal, ok } from './assert.ts';
import { clean, master, mount, names, settled, spoken } from './support.ts';

const frame = () => new Promise((resolve) => requestAnimationFrame(() => requestAnimationFrame(resolve)));

describe('lw-ledger', () => {
  let table: LitElement;
  const bars = (row: number) => [...table.shadowRoot!.querySelectorAll(`tbody tr:nth-child(${row}) g`)];
  const show = async (given: HoursAnswer, width = 500) => {
    table.style.width = `${width}px`;
    $answer.set(given);
    await settled(table);
    await frame();
    await settled(table);
  };
  beforeEach(async () => {
    $masters.set(['S', 'H', 'O'].map((line) => master(line)));
    beginWith(CATALOGUE[0]!.recipe);
    table = await mount('lw-ledger');
    await show(answer());
  });

  it('tells the noise of each colour and whose it is', async () => {
    equal(
      await names('rowheader'),
      ['red', 'green', 'blue', 'luminance', 'colour'].map((name) => `rowheader ${name}`),
    );
    equal(await names('columnheader'), ['columnheader ‰ of white', 'columnheader from']);
    const cells = (await spoken('cell', 'gridcell')).map(({ name }) => name).filter((name) => name !== '');
    equal(cells, [
      '12.3',
      'H 100 %',
      '1.0',
      'S 25 %, H 2 %, O 73 %',
      '1.0',
      'S 25 %, H 2 %, O 73 %',
      '1.0',
      'S 25 %, H 2 %, O 73 %',
      '0.00',
      'none',
    ]);
    await clean(table);
  });

  it('tells the noise before and after smoothing, and where that holds', async () => {
    const given = answer();
    const { background } = given.ledger;
    const calm = { ...background, noise: forQuantities(() => 0.0003) };
    const smoothed = { left: [0.2, 1, 0.2], background: calm, how: 'It holds where only noise shows.' };
    await show({ ...given, ledger: { ...given.ledger, smoothed } });
    equal(await names('columnheader'), ['columnheader ‰ of white', 'columnheader smoothed', 'columnheader from']);
    equal(
      (await spoken('cell', 'gridcell'))
        .map(({ name }) => name)
        .filter((name) => name !== '')
        .slice(0, 2),
      ['12.3', '0.30'],
    );
    const words = table.shadowRoot!.querySelector('p')!.textContent!;
    ok(words.includes('by the noise before smoothing') && words.includes('only noise shows'), words);
    await clean(table);
    await show({ ...answerWithBox(), ledger: { ...answerWithBox().ledger, smoothed } });
    ok(!(await names('columnheader')).includes('columnheader smoothed'), 'a box is shown as it is before');
    await clean(table);
  });

  it('draws bars as long as the shares, the largest in a tone of its own', () => {
    const rects = bars(4).map((part) => part.querySelector('rect')!);
    equal(
      rects.map((rect) => [rect.getAttribute('x'), rect.getAttribute('width'), rect.getAttribute('class')]),
      [
        ['0.000%', '25.000%', 'rest'],
        ['25.000%', '2.000%', 'rest'],
        ['27.000%', '73.000%', 'most'],
      ],
    );
    const [s, , o] = rects.map((rect) => rect.getBoundingClientRect().width);
    ok(Math.abs(o! / s! - 73 / 25) < 0.05, 'drawn widths are as the shares');
  });

  it('writes into a part what has room in it, and into its title the rest', async () => {
    const words = () => bars(4).map((part) => part.querySelector('text')!.textContent);
    equal(words(), ['S 25 %', '', 'O 73 %']);
    await show(answer(), 240);
    equal(words(), ['S', '', 'O 73 %']);
    equal(bars(4)[1]!.querySelector('title')!.textContent, 'H 2 %');
    for (const part of bars(4)) {
      const [rect, shown] = ['rect', 'text'].map((name) => part.querySelector(name)!.getBoundingClientRect());
      ok(shown!.width <= rect!.width, 'words stay inside their part');
    }
  });

  it('has no colour but grey in light and dark, and only red at night', () => {
    const before = document.documentElement.dataset.surround;
    for (const surround of SURROUNDS) {
      chooseSurround(surround);
      for (const part of table.shadowRoot!.querySelectorAll('rect, text')) {
        const [r, g, b] = getComputedStyle(part)
          .fill.match(/[\d.]+/g)!
          .map(Number);
        if (surround === 'night') ok(r! > 2 * g! && r! > 2 * b!, `${surround}: ${r} ${g} ${b}`);
        else ok(r === g && g === b, `${surround}: ${r} ${g} ${b}`);
      }
    }
    chooseSurround(before as (typeof SURROUNDS)[number]);
  });

  it('adds the SNR where a box is marked', async () => {
    await show(answerWithBox());
    equal((await names('columnheader')).slice(1, 3), ['columnheader SNR', 'columnheader of all']);
    const row = table.shadowRoot!.querySelector('tbody tr:nth-child(4)')!;
    equal(
      [...row.querySelectorAll('td:not(.bars)')].map((cell) => cell.textContent),
      ['2.0', '4.0', '80'],
    );
    await clean(table);
  });

  it('says what a user should know about the noise, as text', async () => {
    await show(answer({ warnings: ['S: <b>neighbours</b> go together'] }));
    equal(
      [...table.shadowRoot!.querySelectorAll('li')].map((item) => item.textContent),
      ['S: <b>neighbours</b> go together'],
    );
    equal(table.shadowRoot!.querySelectorAll('b').length, 0);
  });
});
