import { sendMouse } from '@web/test-runner-commands';
import '../../playground/elements/picture/picture.ts';
import '../../playground/elements/box/box.ts';
import type { LitElement } from 'lit';
import { CATALOGUE } from '../../lib/palettes/catalogue.ts';
import { checkedRecipe } from '../../lib/recipe/written/parse.ts';
import { boxBetween, nameOffset, withSide } from '../../playground/model/boxes.ts';
import { $boxKind } from '../../playground/state/box.ts';
import { $history, undoChange } from '../../playground/state/history.ts';
import { $feature, changePlan } from '../../playground/state/hours.ts';
import { $masters } from '../../playground/state/masters.ts';
import { $picture } from '../../playground/state/picture.ts';
import { $recipe, beginWith } from '../../playground/state/recipe.ts';
import { $tools } from '../../playground/state/tools.ts';
import { $camera, $frame } from '../../playground/state/view.ts';
import { equal, ok } from './assert.ts';
import { clean, find, master, mount, preview, settled, spoken } from './support.ts';

const frame = () => new Promise((resolve) => requestAnimationFrame(() => requestAnimationFrame(resolve)));

describe('boxes', () => {
  let element: LitElement;
  const strip = () => find<LitElement>(element, 'lw-box');
  const press = async (words: string) => {
    const buttons = [...strip().shadowRoot!.querySelectorAll('button')];
    buttons.find((button) => button.textContent!.trim() === words)!.click();
    // What grew or shrank in the strip changes the view.
    await frame();
    await settled(element);
  };

  /** The whole pixels of a fifth of the view each way, about the middle (30, 20) of the picture. */
  const fifth = () => {
    const view = find(element, '.view').getBoundingClientRect();
    const scale = Math.min(view.width / 60, view.height / 40);
    const [w, h] = [(0.1 * view.width) / scale, (0.1 * view.height) / scale];
    const [x, y] = [Math.floor(30 - w), Math.floor(20 - h)];
    return { x, y, width: Math.ceil(30 + w) - x, height: Math.ceil(20 + h) - y };
  };

  beforeEach(async () => {
    beginWith(CATALOGUE[0]!.recipe);
    changePlan({ feature: undefined }, '');
    $boxKind.set('background');
    $masters.set(['S', 'H', 'O'].map((line) => master(line)));
    $picture.set(preview());
    $camera.set(undefined);
    $tools.set(['box']);
    element = await mount('lw-picture');
    await frame();
    await settled(element);
  });
  afterEach(() => $tools.set([]));

  it('are drawn with the mouse, in pixels of the masters', async () => {
    await press('Draw it');
    const view = find(element, '.view').getBoundingClientRect();
    const { camera } = $frame.get()!;
    const at = (x: number, y: number): [number, number] => [
      Math.round(view.x + view.width / 2 + (x - camera.x) * camera.scale),
      Math.round(view.y + view.height / 2 + (y - camera.y) * camera.scale),
    ];
    await sendMouse({ type: 'move', position: at(10.4, 5.4) });
    await sendMouse({ type: 'down' });
    await sendMouse({ type: 'move', position: at(40.6, 24.6) });
    await sendMouse({ type: 'up' });
    equal($recipe.get().background, { from: [10, 5, 31, 20] });
    equal($camera.get(), undefined);
    await settled(element);
    ok(find(element, 'lw-box-over', '.background').textContent!.includes('Background'), 'it is shown by name');
    undoChange();
    equal($recipe.get().background, CATALOGUE[0]!.recipe.background);
  });

  it('are placed and moved without a mouse', async () => {
    const middle = fifth();
    await press('Put it in the middle of the view');
    equal($recipe.get().background, { from: [middle.x, middle.y, middle.width, middle.height] });
    equal(
      (await spoken('spinbutton')).map(({ name, value }) => `${name} ${value}`),
      ['left', 'top', 'width', 'height'].map((side, i) => `Background: ${side} ${Object.values(middle)[i]}`),
    );
    await clean(element);
    const left = find<HTMLInputElement>(find(strip(), 'lw-number'), 'input');
    left.dispatchEvent(new KeyboardEvent('keydown', { key: 'ArrowUp', shiftKey: true }));
    equal($recipe.get().background, { from: [middle.x + 10, middle.y, middle.width, middle.height] });
    await settled(element);
    await press('Remove');
    equal($recipe.get().background, undefined);
  });

  it('can mean the feature that hours are planned for', async () => {
    find<HTMLInputElement>(strip(), 'input[type=radio]:not(:checked)').click();
    await settled(element);
    const middle = fifth();
    await press('Put it in the middle of the view');
    equal($feature.get(), middle);
    equal($recipe.get().background, undefined);
  });

  it('of the surface are several, each with its numbers and a way out, and each a step', async () => {
    const radios = [...strip().shadowRoot!.querySelectorAll<HTMLInputElement>('input[type=radio]')];
    radios[3]!.click();
    await settled(element);
    const middle = fifth();
    await press('Put it in the middle of the view');
    const sides = [middle.x, middle.y, middle.width, middle.height];
    equal($recipe.get().background, { model: 'surface', exclude: [sides] });
    await press('Put it in the middle of the view');
    equal($recipe.get().background!.exclude!.length, 2);
    const before = $recipe.get().background!.exclude![1]![0]!;
    const left = find<HTMLInputElement>(find(strip(), 'li:nth-child(2) lw-number'), 'input');
    left.dispatchEvent(new KeyboardEvent('keydown', { key: 'ArrowUp' }));
    await settled(element);
    equal($recipe.get().background!.exclude![1]![0], before + 1);
    equal(
      (await spoken('button')).map(({ name }) => name).filter((name) => name.startsWith('Remove')),
      ['Remove Surface: left out 1', 'Remove Surface: left out 2'],
    );
    const over = find(element, 'lw-box-over').shadowRoot!;
    equal(
      [...over.querySelectorAll('.exclude')].map((one) => one.textContent),
      ['Surface: left out 1', 'Surface: left out 2'],
    );
    await clean(element);
    find<HTMLButtonElement>(strip(), 'li button').click();
    await settled(element);
    equal($recipe.get().background!.exclude!.length, 1);
    equal($history.get().present.label, 'no box of the surface');
    undoChange();
    equal($recipe.get().background!.exclude!.length, 2);
    radios[2]!.click();
    await settled(element);
    await press('Put it in the middle of the view');
    equal([$recipe.get().background!.include!.length, $recipe.get().background!.exclude!.length], [1, 2]);
    checkedRecipe($recipe.get());
  });

  it('stay inside the picture and are never too small', () => {
    const picture = { width: 60, height: 40 };
    equal(boxBetween({ x: 70, y: -5 }, { x: 58.2, y: 3.1 }, picture, 6), { x: 54, y: 0, width: 6, height: 6 });
    equal(boxBetween({ x: 30.9, y: 20.1 }, { x: 12.2, y: 38.9 }, picture, 6), { x: 12, y: 20, width: 19, height: 19 });
    const box = { x: 10, y: 10, width: 20, height: 20 };
    equal(withSide(box, 'x', 57, picture, 6), { x: 54, y: 10, width: 6, height: 20 });
    equal(withSide(box, 'height', 99, picture, 6), { x: 10, y: 10, width: 20, height: 30 });
    equal(withSide(box, 'width', 1.4, picture, 6), { x: 10, y: 10, width: 6, height: 20 });
  });

  it('keep their names in view as long as the box is', () => {
    const [name, view] = [
      { width: 80, height: 20 },
      { width: 300, height: 200 },
    ];
    const box = (x: number, y: number) => ({ x, y, width: 50, height: 40 });
    equal(nameOffset(box(100, 100), name, view), { x: 0, y: 0 });
    equal(nameOffset(box(280, 100), name, view), { x: -60, y: 0 });
    equal(nameOffset(box(-30, 5), name, view), { x: 30, y: 15 });
    for (const [x, y] of [
      [300, 100],
      [-50, 100],
      [100, 200],
      [100, -40],
    ] as const)
      equal(nameOffset(box(x, y), name, view), { x: 0, y: 0 });
  });
});
