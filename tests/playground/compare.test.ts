import { setViewport } from '@web/test-runner-commands';
import '../../playground/elements/picture/picture.ts';
import '../../playground/elements/compare/compare.ts';
import type { LitElement } from 'lit';
import { CATALOGUE } from '../../lib/palettes/catalogue.ts';
import type { Box } from '../../lib/plane/box.ts';
import { LinewashError } from '../../lib/plane/errors.ts';
import type { Preview } from '../../lib/web/preview.ts';
import { $chosen } from '../../playground/state/chosen.ts';
import {
  $against,
  $beside,
  $earlier,
  $flick,
  $others,
  $split,
  addAgainst,
  setAgainst,
} from '../../playground/state/compare.ts';
import { $detail } from '../../playground/state/detail.ts';
import { useEngine } from '../../playground/state/engine.ts';
import { $masters } from '../../playground/state/masters.ts';
import { $picture } from '../../playground/state/picture.ts';
import { $recipe, beginWith, changeRecipe } from '../../playground/state/recipe.ts';
import { $tools } from '../../playground/state/tools.ts';
import { $camera, $cellCount, $frame } from '../../playground/state/view.ts';
import { equal, ok } from './assert.ts';
import { clean, find, master, mount, press, preview, settled, spoken, until } from './support.ts';

interface Question {
  readonly recipe: { readonly name?: string };
  readonly box?: Box;
}
const questions: Question[] = [];

const green = (width: number, height: number): Preview => {
  const picture = preview(width, height);
  for (let i = 0; i < picture.data.length; i += 4) picture.data.set([0, 255, 0, 255], i);
  return picture;
};

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
    $chosen.set(['hoo']);
    $beside.set(false);
    $detail.set(undefined);
    questions.length = 0;
    // Other mixes are green all over.
    useEngine({
      call: (async (name: string, question: Question) => {
        if (name !== 'preview') throw new LinewashError({ tag: 'cancelled', message: 'not asked here' });
        questions.push(question);
        const { width = 60, height = 40 } = question.box ?? {};
        const picture = question.recipe.name === 'Ember' ? preview(width, height) : green(width, height);
        return { ...picture, full: { width: 60, height: 40 } };
      }) as never,
      fail() {},
    });
    $tools.set(['compare']);
    element = await mount('lw-picture');
    await until(() => $others.get()[0]!.length > 0);
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

  it('leaves the tools and read-outs in sight', async () => {
    await setViewport({ width: 1200, height: 800 });
    await frame();
    const names = find<HTMLElement>(over(), '.names');
    // What the pointer meets is what is painted last, as soon as the other mix lets itself be met.
    over().style.pointerEvents = 'auto';
    const bar = find<HTMLElement>(element, '.bar').getBoundingClientRect();
    const met = (x: number) => element.shadowRoot!.elementFromPoint(x, bar.top + bar.height / 2)!;
    ok(names.isConnected && bar.width > 300, 'both are there');
    for (const share of [0.25, 0.75, 0.95]) ok(met(bar.left + share * bar.width).closest('.bar'), `at ${share}`);
    await setViewport({ width: 800, height: 600 });
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
    equal(
      $against.get().map(({ id }) => id),
      ['sho'],
    );
    await settled(element);
    [...strip.shadowRoot!.querySelectorAll('button')].find((b) => b.textContent!.trim() === 'Make it the mix')!.click();
    equal($recipe.get().name, 'SHO');
    // Without a choice of the user's, it is never the mix itself.
    $chosen.set([]);
    ok($against.get()[0]?.recipe.name !== 'SHO', 'another mix');
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
    $chosen.set([$earlier.get()[1]!.id]);
    equal($against.get()[0]!.recipe, before);
    await settled(element);
    ok(edge().getAttribute('aria-label')!.includes('before: saturation'), 'it has the name of the step');
  });
  describe('side by side', () => {
    const cells = () => [...over().shadowRoot!.querySelectorAll<HTMLElement>('.cell')];
    const rooms = () => $frame.get()!.cells;
    const beside = async (...ids: string[]) => {
      $beside.set(true);
      $chosen.set(ids);
      await until(() => ids.every((_, i) => $others.get()[i]!.length > 0));
      await frame();
      await settled(element);
    };
    /** The colour in the middle of a cell, in the picture or over it. */
    const middle = (of: LitElement, cell: number) => {
      const { x, y, width, height } = rooms()[cell]!;
      const at = [x + width / 2, y + height / 2].map((v) => Math.round(v * devicePixelRatio)) as [number, number];
      return [
        ...find<HTMLCanvasElement>(of, 'canvas')
          .getContext('2d')!
          .getImageData(...at, 1, 1).data,
      ];
    };

    it('shows two, three and four in cells that do not meet, each under its name', async () => {
      for (const ids of [['hoo'], ['hoo', 'sho'], ['hoo', 'sho', 'gilt']]) {
        await beside(...ids);
        equal([rooms().length, cells().length, $cellCount.get()], [1 + ids.length, 1 + ids.length, 1 + ids.length]);
        for (const [i, a] of rooms().entries()) {
          ok(a.width > 100 && a.height > 60, `cell ${i} is ${a.width} × ${a.height}`);
          for (const b of rooms().slice(i + 1))
            ok(a.x + a.width <= b.x || b.x + b.width <= a.x || a.y + a.height <= b.y || b.y + b.height <= a.y, 'apart');
        }
        equal(middle(element, 0), [200, 100, 50, 255]);
        for (let i = 1; i <= ids.length; i++) equal(middle(over(), i), [0, 255, 0, 255], `mix ${i}`);
      }
      const groups = (await spoken('group')).map(({ name }) => name).filter((name) => /^Mix \d/.test(name));
      equal(groups, ['Mix 2: HOO', 'Mix 3: SHO', 'Mix 4: Gilt']);
      await clean(element);
    });

    it('moves all by any of them, and leaves what is in the middle there when it ends', async () => {
      await beside('hoo', 'sho');
      const [first, , third] = rooms();
      const view = find<HTMLElement>(element, '.view');
      const { left, top } = view.getBoundingClientRect();
      /** The point of the picture in the middle of the mix's own room. */
      const seen = () => {
        const { camera, view: size, open } = $frame.get()!;
        return [
          camera.x + (open.x + open.width / 2 - size.width / 2) / camera.scale,
          camera.y + (open.y + open.height / 2 - size.height / 2) / camera.scale,
        ].map((v) => Math.round(v * 100) / 100);
      };
      const fitted = seen();
      // The wheel over the third zooms about the pixel that it shows there.
      // Mouse events have whole coordinates.
      const clientX = Math.round(left + third!.x + third!.width / 4);
      const clientY = Math.round(top + third!.y + third!.height / 5);
      const off = { x: clientX - left - third!.x, y: clientY - top - third!.y };
      const wheel = { deltaY: -400, clientX, clientY };
      const pixel = () => {
        const {
          camera,
          view: size,
          cells: [cell],
        } = $frame.get()!;
        return [
          camera.x + (cell!.x + off.x - size.width / 2) / camera.scale,
          camera.y + (cell!.y + off.y - size.height / 2) / camera.scale,
        ].map((v) => Math.round(v * 100) / 100);
      };
      const under = pixel();
      view.dispatchEvent(new WheelEvent('wheel', { ...wheel, bubbles: true, cancelable: true }));
      await frame();
      equal(pixel(), under);
      ok(`${seen()}` !== `${fitted}`, 'the middle has moved');
      equal(rooms()[0], first);
      const middleOfCells = seen();
      $tools.set([]);
      await frame();
      await settled(element);
      equal([rooms().length, $cellCount.get()], [1, 1]);
      equal(seen(), middleOfCells);
    });

    it('has full-size pixels wherever the mix has them', async () => {
      await beside('hoo', 'sho');
      questions.length = 0;
      const box = { x: 10, y: 8, width: 20, height: 12 };
      $detail.set({ box, picture: preview(20, 12) });
      await until(() => [0, 1].every((i) => $others.get()[i]!.length === 2));
      equal(
        questions.map(({ recipe, box }) => [recipe.name, box]),
        [
          ['HOO', box],
          ['SHO', box],
        ],
      );
    });

    it('makes one of them the mix by its button, which keys reach', async () => {
      await beside('hoo', 'sho');
      const buttons = (await spoken('button')).map(({ name }) => name);
      ok(buttons.includes('Make it the mix: SHO'), `${buttons}`);
      find<HTMLButtonElement>(over(), '[aria-label="Make it the mix: SHO"]').focus();
      await press('Enter');
      equal($recipe.get().name, 'SHO');
      find<HTMLElement>(element, '.view').dispatchEvent(new KeyboardEvent('keydown', { key: ' ', bubbles: true }));
      equal($flick.get(), false);
    });

    it('takes another, changes one and lets one go; none stands there twice', async () => {
      const ids = () => $against.get().map(({ id }) => id);
      const strip = find<LitElement>(element, 'lw-compare');
      const add = () => [...strip.shadowRoot!.querySelectorAll('button')].find((b) => b.textContent!.includes('Add'))!;
      add().click();
      add().click();
      await settled(element);
      equal([ids().length, new Set(ids()).size, add().disabled], [3, 3, true]);
      addAgainst();
      equal(ids().length, 3);
      setAgainst(0, ids()[2]!);
      equal(ids().length, 2);
      await settled(element);
      equal(
        (await spoken('combobox')).map(({ name }) => name).filter((name) => name.startsWith('With')),
        ['With', 'With, number 2'],
      );
      const [, second] = ids();
      find<HTMLButtonElement>(strip, '.choice .remove').click();
      equal(ids(), [second]);
    });
  });
});
