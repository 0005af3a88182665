import '../../playground/elements/histogram/histogram.ts';
import { sendMouse } from '@web/test-runner-commands';
import type { LitElement } from 'lit';
import { catalogueRecipe } from '../../lib/palettes/catalogue.ts';
import type { SettledChannel } from '../../lib/recipe/settle/settled.ts';
import type { WrittenRecipe } from '../../lib/recipe/written/schema.ts';
import type { CurveKind } from '../../lib/stretch/curve.ts';
import { CURVE_NAMES, CURVES } from '../../lib/stretch/curves.ts';
import { aloneRecipe } from '../../playground/model/columns.ts';
import { handleValues, withHandle } from '../../playground/model/levels.ts';
import { $recipe, beginWith } from '../../playground/state/recipe.ts';
import { equal, near, ok } from './assert.ts';
import { clean, settled as drawn, find, histogram, mount, press, spoken } from './support.ts';

const recipe: WrittenRecipe = { ...catalogueRecipe('ember') };
const channel = (more: Partial<SettledChannel> = {}): SettledChannel => ({
  name: 'H',
  background: 1000,
  black: -50,
  white: 3000,
  stretch: { curve: 'asinh', a: 0.05 },
  ...more,
});

const AXIS = { ...histogram(), level: 1000, unit: 20, low: -3, high: Math.asinh(200) };

describe('the handles of a histogram', () => {
  it('put the middle where the curve gives one half, for every curve that can bend', () => {
    const bent = CURVE_NAMES.filter((name) => (CURVES[name] as CurveKind).place !== undefined);
    ok(bent.length > 2, 'some curves bend');
    for (const curve of bent)
      for (const share of [0.03, 0.1, 0.3, 0.45]) {
        const value = 950 + share * 3050;
        const settled = channel({ stretch: { curve, a: 0.2 } });
        const changed = withHandle(recipe, settled, 'middle', value);
        const { a } = changed.stretch!.H!;
        near((CURVES[curve] as CurveKind).curve({ a })(share), 0.5, 1e-4);
        near(handleValues(changed, channel({ stretch: { curve, a: a! } })).middle!, value, 1);
      }
  });

  it('move black and white, never past one another, and say nothing of other lines', () => {
    const black = withHandle(recipe, channel(), 'black', 1200);
    equal(black.levels, { ...recipe.levels, H: { ...recipe.levels?.H, black: 200 } });
    ok((withHandle(recipe, channel(), 'black', 9000).levels!.H!.black as number) < 3000, 'black stays below white');
    ok((withHandle(recipe, channel(), 'white', 0).levels!.H!.white as number) > -50, 'white stays above black');
  });

  it('are not there where nothing can be moved', () => {
    const light = handleValues({ ...recipe, mixIn: 'light' }, channel());
    equal(Object.keys(light), ['black', 'white']);
    equal(Object.keys(handleValues({ ...recipe, scale: 'together' }, channel())), ['black', 'middle']);
    equal(Object.keys(handleValues(recipe, channel({ stretch: { curve: 'linear' } }))), ['black', 'white']);
  });
});

describe('lw-histogram', () => {
  let element: LitElement;
  beforeEach(async () => {
    beginWith(recipe);
    // Of its full width the last handle would be half outside the window.
    element = await mount('lw-histogram', { line: 'H', histogram: AXIS, settled: channel() } as never);
    element.style.width = '300px';
    await drawn(element);
  });

  it('has three sliders with values in the units of the master', async () => {
    equal(
      (await spoken('slider')).map(({ name, valuetext }) => [name, valuetext]),
      [
        ['black of H', '950'],
        ['middle of H', find(element, '.middle').getAttribute('aria-valuetext')],
        ['white of H', '4000'],
      ],
    );
    await clean(element);
  });

  it('follows the pointer and the keys', async () => {
    const box = find(element, '.white').getBoundingClientRect();
    const at = (dx: number): [number, number] => [Math.round(box.x + box.width / 2 + dx), Math.round(box.y + 12)];
    await sendMouse({ type: 'move', position: at(0) });
    await sendMouse({ type: 'down' });
    await sendMouse({ type: 'move', position: at(-40) });
    await sendMouse({ type: 'up' });
    await drawn(element);
    const dragged = $recipe.get().levels!.H!.white as number;
    ok(dragged < 3000 && dragged > -50, `white has moved: ${dragged}`);
    find<HTMLElement>(element, '.black').focus();
    await press('ArrowRight');
    ok(($recipe.get().levels!.H!.black as number) > -50, 'black has moved');
  });
});

describe('a line alone', () => {
  it('keeps what prepares and stretches it, and nothing of other lines', () => {
    const full: WrittenRecipe = {
      ...recipe,
      levels: { H: { black: 5 }, '*': { black: 9 }, O: { black: 7 } },
      stretch: { O: { a: 0.5 } },
      scale: 'together',
      lightness: 'H',
    };
    const { name, ...alone } = aloneRecipe(full, 'H');
    equal(name, 'H');
    equal(alone.levels, { H: { black: 5 } });
    equal([alone.stretch, alone.scale, alone.lightness], [undefined, undefined, undefined]);
    equal(aloneRecipe(full, 'S').levels, { S: { black: 9 } });
  });
});
