import '../../playground/elements/fit/fit.ts';
import '../../playground/elements/suggestions/suggestions.ts';
import type { LitElement } from 'lit';
import type { Misfit } from '../../lib/measure/together.ts';
import type { Suggestions } from '../../lib/recipe/suggest/suggest.ts';
import type { LineReport } from '../../lib/web/service.ts';
import { usedLines } from '../../playground/model/columns.ts';
import { $together, $weak } from '../../playground/state/fit.ts';
import { $history, redoChange, undoChange } from '../../playground/state/history.ts';
import { $lines, $masters, $reports } from '../../playground/state/masters.ts';
import { $recipe, beginWith } from '../../playground/state/recipe.ts';
import { $suggesting, $suggestions } from '../../playground/state/suggestions.ts';
import { suggestion } from '../../playground/story/examples.ts';
import { equal, ok } from './assert.ts';
import { clean, find, histogram, master, mount, names, settled, spoken } from './support.ts';

const matrix = [
  [1, 0, 0],
  [0, 1, 0],
  [0, 0, 1],
];
describe('lw-suggestions', () => {
  let panel: LitElement;
  beforeEach(async () => {
    $masters.set(['S', 'H', 'O'].map((line) => master(line)));
    $suggestions.set(undefined);
    $suggesting.set(undefined);
    beginWith({ matrix: [...matrix].reverse() });
    panel = await mount('lw-suggestions');
  });

  it('is a button until it is asked, which needs two lines', async () => {
    equal(await names('button'), ['button Suggest mixes']);
    await clean(panel);
    $masters.set([master('H')]);
    await settled(panel);
    equal((await spoken('button'))[0]!.disabled, true);
  });

  it('says that it works, with a way to stop it', async () => {
    let stopped = false;
    $suggesting.set({
      cancel: () => {
        stopped = true;
      },
    });
    await settled(panel);
    equal((await names('status')).length, 1);
    find<HTMLButtonElement>(panel, 'button').click();
    ok(stopped, 'looking is stopped');
  });

  it('lists each mix with reason and price, as plain text, and uses it on a click', async () => {
    $suggestions.set({ suggestions: [suggestion], weak: [] } as unknown as Suggestions);
    await settled(panel);
    find<HTMLElement>(panel, 'summary').click();
    await settled(panel);
    equal(await names('button'), ['button Take down', 'button Use Wide <b>x</b>']);
    const text = panel.shadowRoot!.textContent!;
    for (const part of ['Spreads the colours.', '1.32 × the colour spread', '1.10 × its noise'])
      ok(text.includes(part), part);
    equal(panel.shadowRoot!.querySelectorAll('b').length, 0);
    await clean(panel);
    find<HTMLButtonElement>(panel, '.use').click();
    equal($recipe.get(), suggestion.recipe);
    await settled(panel);
    equal((await spoken('button'))[1]!.pressed, 'true');
  });
});

const together = (...misfits: Misfit[]) => ({ registration: [], misfits, warnings: misfits.map(({ words }) => words) });

describe('lw-fit', () => {
  it('exchanges swapped lines, which can be taken back', async () => {
    $reports.set({});
    $masters.set([master('S'), master('O')]);
    const panel = await mount('lw-fit');
    const misfit = { kind: 'filter', words: 'S.fits: S and O look swapped' } as const;
    $together.set(
      together(
        { ...misfit, name: 'S', found: 'O', swappedWith: 'O' },
        { ...misfit, name: 'O', found: 'S', swappedWith: 'S' },
      ),
    );
    await settled(panel);
    equal(await names('button'), ['button Exchange S and O']);
    await clean(panel);
    find<HTMLButtonElement>(panel, 'button').click();
    const lines = () => $masters.get().map(({ line }) => line);
    equal([lines(), $history.get().present.label], [['O', 'S'], 'S and O exchanged']);
    undoChange();
    equal(lines(), ['S', 'O']);
    equal($masters.get()[0]!.reason.kind, 'header');
    redoChange();
    equal(lines(), ['O', 'S']);
  });

  it('gives a master the line of its header, and leaves out a copy', async () => {
    $reports.set({});
    $masters.set([master('S'), master('H')]);
    const panel = await mount('lw-fit');
    $together.set(together({ kind: 'filter', name: 'S', found: 'O', words: 'is it the O master?' }));
    await settled(panel);
    equal(await names('button'), ['button Make it O']);
    find<HTMLButtonElement>(panel, 'button').click();
    equal(Object.keys($lines.get()), ['O', 'H']);
    $together.set(together({ kind: 'copy', name: 'O', of: 'H', words: 'the same picture' }));
    await settled(panel);
    equal(await names('button'), ['button Mix without O']);
    find<HTMLButtonElement>(panel, 'button').click();
    equal(Object.keys($lines.get()), ['H']);
  });

  it('offers a mix of two lines where the third holds almost nothing', async () => {
    $reports.set({});
    $masters.set(['S', 'H', 'O'].map((line) => master(line)));
    beginWith({ matrix });
    const panel = await mount('lw-fit');
    $together.set(together());
    $weak.set(['S']);
    await settled(panel);
    equal(await names('button'), ['button Mix H and O alone']);
    await clean(panel);
    find<HTMLButtonElement>(panel, 'button').click();
    equal(usedLines($recipe.get()).includes('S'), false);
    await settled(panel);
    equal(panel.shadowRoot!.textContent!.trim(), '');
    $weak.set([]);
  });

  it('says nothing where nothing is wrong', async () => {
    $together.set({ registration: [], misfits: [], warnings: [] });
    $weak.set([]);
    $reports.set({});
    const panel = await mount('lw-fit');
    equal(panel.shadowRoot!.textContent!.trim(), '');
  });

  it('says what is wrong, and offers the repair of a stretched master', async () => {
    $masters.set([master('H')]);
    beginWith({ matrix });
    const measured = { name: 'H', file: 'field-H.fits', saturated: 50, counted: 10_000, stretched: true };
    $reports.set({ H: { histogram: histogram(), measured: measured as LineReport['measured'] } });
    const panel = await mount('lw-fit');
    const words = 'field-O.fits: O lies 3.3 px right of H. Register the masters again.';
    $together.set(together({ kind: 'registration', name: 'O', words }));
    await settled(panel);
    const items = [...panel.shadowRoot!.querySelectorAll('li')].map((item) => item.textContent!);
    equal(items.length, 3);
    ok(items[0]!.includes('3.3 px right of H'), 'the misfit');
    // 50 of 10,000 pixels.
    ok(items[1]!.includes('0.50 %'), 'the share of saturated pixels');
    await clean(panel);
    equal(await names('button'), ['button Show the shifts', 'button Show it as it is']);
    find<HTMLButtonElement>(panel, 'li:nth-child(3) button').click();
    equal($recipe.get().stretch, { H: { curve: 'linear' } });
    await settled(panel);
    equal(panel.shadowRoot!.querySelectorAll('li').length, 2);
  });
});
