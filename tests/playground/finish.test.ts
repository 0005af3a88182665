import '../../playground/elements/finish/finish.ts';
import type { LitElement } from 'lit';
import { folds } from '../../lib/finish/bends.ts';
import { LinewashError } from '../../lib/plane/errors.ts';
import { bendsOf } from '../../lib/recipe/written/finish-wish.ts';
import { parseRecipe } from '../../lib/recipe/written/parse.ts';
import type { FinishWish, WrittenRecipe } from '../../lib/recipe/written/schema.ts';
import type { Preview } from '../../lib/web/preview.ts';
import { $against } from '../../playground/state/compare.ts';
import { useEngine } from '../../playground/state/engine.ts';
import { $history, undoChange } from '../../playground/state/history.ts';
import { $masters } from '../../playground/state/masters.ts';
import { $busy, $picture } from '../../playground/state/picture.ts';
import { $recipe, beginWith, changeRecipe } from '../../playground/state/recipe.ts';
import { $tools } from '../../playground/state/tools.ts';
import { equal, ok } from './assert.ts';
import { clean, find, master, mount, names, preview, settled, until } from './support.ts';

const recipe: WrittenRecipe = {
  matrix: [
    [1, 0, 0],
    [0, 1, 0],
    [0, 0, 1],
  ],
};

/** What the worker answers: a gain that is to be found is 1.6. */
const answer = (given: WrittenRecipe): Preview => {
  const made = preview();
  const wish = (given.finish ?? {}) as FinishWish;
  if (given.finish === undefined) return made;
  const chroma =
    wish.chroma === undefined
      ? {}
      : {
          chroma: {
            gain: gainOf(wish.chroma),
            from: 0.3,
            to: 0.55,
            until: 0.3,
          },
        };
  const finish = { ...(wish.tone && { tone: wish.tone }), ...chroma, bends: bendsOf(wish) };
  return { ...made, plain: { ...made.plain, finish: wish }, settled: { ...made.settled, finish } };
};

const gainOf = (chroma: NonNullable<FinishWish['chroma']>): number => {
  const gain: unknown = chroma === 'auto' ? undefined : chroma.gain;
  return typeof gain === 'number' ? gain : typeof gain === 'string' ? 1.2 : 1.6;
};

describe('lw-finish', () => {
  let panel: LitElement;
  const part = (name: string) => find<LitElement>(panel, name);
  const chroma = () => find<HTMLInputElement>(panel, 'input[type=range]');
  const button = (label: string, of: LitElement = panel) =>
    [...of.shadowRoot!.querySelectorAll('button')].find((one) => one.textContent!.trim() === label)!;
  const quiet = async () => {
    await until(() => !$busy.get());
    for (const one of [panel, part('lw-tone-curve'), part('lw-hues')]) await settled(one);
  };
  /** Presses at one place of an element, moves and lets go; places are shares of its width and height. */
  const pull = async (element: HTMLElement, ...places: readonly (readonly [number, number])[]) => {
    const box = element.getBoundingClientRect();
    const at = ([x, y]: readonly [number, number]) => ({
      clientX: box.left + x * box.width,
      clientY: box.top + y * box.height,
      pointerId: 1,
      button: 0,
      bubbles: true,
    });
    element.setPointerCapture = () => {};
    element.dispatchEvent(new PointerEvent('pointerdown', at(places[0]!)));
    for (const place of places) element.dispatchEvent(new PointerEvent('pointermove', at(place)));
    element.dispatchEvent(new PointerEvent('pointerup', at(places.at(-1)!)));
    await quiet();
  };

  beforeEach(async () => {
    useEngine({
      call: (async (name: string, question: { recipe: WrittenRecipe }) => {
        if (name !== 'preview') throw new LinewashError({ tag: 'cancelled', message: 'not asked here' });
        return answer(question.recipe);
      }) as never,
      fail() {},
    });
    $tools.set([]);
    $masters.set(['S', 'H', 'O'].map((line) => master(line)));
    beginWith(recipe);
    panel = await mount('lw-finish');
    await until(() => $picture.get() !== undefined && !$busy.get());
    await quiet();
  });
  afterEach(() => $tools.set([]));

  it('names every control, and says what the plots show', async () => {
    equal(await names('slider', 'spinbutton', 'button', 'image'), [
      'slider Chroma',
      'button Auto',
      'button Add a point',
      'button Straight',
      'image Colours of the picture in OKLab: grey in the middle, hue by direction, chroma by distance. The outline is what the space can show; spokes are the colours of the lines as they rise.',
      'spinbutton Chroma',
      'image Tone curve: straight',
      'image The hues of this picture',
      'button Move a hue',
    ]);
    await clean(panel);
  });

  it('writes a gain, has it found, and leaves no trace of none', async () => {
    chroma().value = '1.4';
    chroma().dispatchEvent(new Event('input'));
    await quiet();
    equal($recipe.get().finish, { chroma: { gain: 1.4 } });
    equal($history.get().present.label, 'chroma');
    button('Auto').click();
    await quiet();
    equal($recipe.get().finish, { chroma: 'auto' });
    equal([chroma().value, button('Auto').getAttribute('aria-pressed')], ['1.6', 'true']);
    button('Auto').click();
    await quiet();
    equal($recipe.get(), recipe);
    undoChange();
    equal($recipe.get().finish, { chroma: 'auto' });
  });

  it('keeps what a recipe says of the sky, and follows a knob until it is moved', async () => {
    changeRecipe(
      { ...recipe, knobs: { glow: { value: 1.2, max: 2 } }, finish: { chroma: { gain: 'glow', until: 0.2 } } },
      'a knob',
    );
    await quiet();
    ok(panel.shadowRoot!.textContent!.includes('Follows glow until you move the slider.'), 'the knob');
    chroma().value = '2';
    chroma().dispatchEvent(new Event('input'));
    equal($recipe.get().finish, { chroma: { until: 0.2, gain: 2 } });
  });

  it('bends the tone by clicks, drags and keys', async () => {
    const curve = part('lw-tone-curve');
    const plot = find<HTMLElement>(curve, '.plot');
    await pull(plot, [0.5, 0.5], [0.4, 0.7]);
    const [[x, y]] = $recipe.get().finish!.tone as [[number, number]];
    ok(Math.abs(x - 0.4) < 0.01 && Math.abs(y - 0.3) < 0.02, `${x} ${y}`);
    const point = find<HTMLElement>(curve, '.point');
    point.dispatchEvent(new KeyboardEvent('keydown', { key: 'ArrowUp', bubbles: true }));
    await quiet();
    ok(Math.abs(($recipe.get().finish!.tone as [[number, number]])[0][1] - y - 0.01) < 1e-9, 'one step up');
    // Past its neighbour no point goes.
    button('Add a point', curve).click();
    await quiet();
    const points = () => $recipe.get().finish!.tone as [number, number][];
    equal(points().length, 2);
    for (let k = 0; k < 20; k++)
      find<HTMLElement>(curve, '.point').dispatchEvent(
        new KeyboardEvent('keydown', { key: 'ArrowRight', shiftKey: true, bubbles: true }),
      );
    await quiet();
    ok(points()[0]![0] < points()[1]![0], 'in order');
    parseRecipe(JSON.stringify($recipe.get()));
    find<HTMLElement>(curve, '.point').dispatchEvent(new KeyboardEvent('keydown', { key: 'Delete', bubbles: true }));
    await quiet();
    equal(points().length, 1);
    await clean(panel);
    button('Straight', curve).click();
    await quiet();
    equal($recipe.get(), recipe);
  });

  it('pulls a hue, not further than hues stay apart', async () => {
    const hues = part('lw-hues');
    const strip = find<HTMLElement>(hues, '.strip');
    await pull(strip, [0.5, 0.3], [0.55, 0.3]);
    const bends = () => bendsOf($recipe.get().finish as FinishWish);
    equal(
      bends().map(({ at, to }) => [at, to]),
      [[180, 198]],
    );
    // The same hue again, by where it was put.
    await pull(strip, [0.55, 0.3], [0.95, 0.3]);
    equal(bends().length, 1);
    ok(bends()[0]!.to > 205 && !folds(bends()), String(bends()[0]!.to));
    parseRecipe(JSON.stringify($recipe.get()));
    await clean(panel);
    // What is touched and not pulled does not move.
    await pull(strip, [0.1, 0.3]);
    equal(bends().length, 1);
    find<HTMLElement>(hues, '.remove').click();
    await quiet();
    equal($recipe.get(), recipe);
  });

  it('sets the mix against itself before its finish', async () => {
    changeRecipe({ ...recipe, finish: { chroma: { gain: 2 } } }, 'chroma');
    await quiet();
    button('Before and after').click();
    await quiet();
    equal(
      $against.get().map(({ recipe: other }) => other),
      [recipe],
    );
    equal(button('Before and after').getAttribute('aria-pressed'), 'true');
  });
});
