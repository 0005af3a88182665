import '../../playground/elements/picture/picture.ts';
import '../../playground/elements/shifts/shifts.ts';
import '../../playground/elements/sky/sky.ts';
import type { LitElement } from 'lit';
import { LinewashError } from '../../lib/plane/errors.ts';
import type { SurfaceQuestion } from '../../lib/web/surface.ts';
import { exaggeration, shiftedLines } from '../../playground/model/shifts.ts';
import { useEngine } from '../../playground/state/engine.ts';
import { $together } from '../../playground/state/fit.ts';
import { $masters } from '../../playground/state/masters.ts';
import { $picture } from '../../playground/state/picture.ts';
import { $recipe, beginWith } from '../../playground/state/recipe.ts';
import { $hiddenShifts } from '../../playground/state/shifts.ts';
import { $skyView } from '../../playground/state/sky.ts';
import { $tools } from '../../playground/state/tools.ts';
import { $camera } from '../../playground/state/view.ts';
import { registration, surfaceView } from '../../playground/story/examples.ts';
import { equal, ok } from './assert.ts';
import { clean, find, master, mount, names, preview, settled, spoken } from './support.ts';

const frame = () => new Promise((resolve) => requestAnimationFrame(() => requestAnimationFrame(resolve)));
const pause = (ms = 10) => new Promise((resolve) => setTimeout(resolve, ms));

/** Columns and rows of the bright pixels of a canvas, in CSS pixels. */
const brightBox = (canvas: HTMLCanvasElement) => {
  const { width, height } = canvas;
  const { data } = canvas.getContext('2d')!.getImageData(0, 0, width, height);
  const found = { left: width, right: -1, count: 0 };
  for (let i = 0; i < width * height; i++) {
    if (data[4 * i + 3]! < 200 || data[4 * i]! < 200) continue;
    found.left = Math.min(found.left, i % width);
    found.right = Math.max(found.right, i % width);
    found.count++;
  }
  return found;
};

describe('shifts', () => {
  let element: LitElement;
  beforeEach(async () => {
    $picture.set(preview());
    $camera.set(undefined);
    $hiddenShifts.set([]);
    $masters.set(['H', 'O'].map((line) => master(line)));
    $tools.set(['shifts']);
    element = await mount('lw-picture');
    $together.set({ registration: [registration], misfits: [], warnings: [] });
    await frame();
    await settled(element);
  });
  afterEach(() => $tools.set([]));

  it('are lengthened by 1, 2 or 5 times a power of ten, those below half a pixel no further', () => {
    const [line] = shiftedLines([registration]);
    // A ninth of 6000 pixels is 667: 333 times 2 px.
    equal(exaggeration([line!], 6000), 200);
    // As half a pixel is: a ninth of 9000 pixels is 1000.
    equal(exaggeration([{ ...line!, most: 0.5 }], 9000), 2000);
    equal(exaggeration([{ ...line!, most: 0.01 }], 9000), 2000);
    equal(exaggeration([{ ...line!, most: 5000 }], 60), 1);
    equal(line!.most, 2);
  });

  it('are told in numbers with the factor, and arrows point where the line lies', async () => {
    const [box] = await spoken('checkbox');
    equal(
      `${box!.name.trim()}: ${box!.checked}`,
      'O against H: 2.00 px right, 0.50 px up, turned 0.12° clockwise; at most 2.00 px, in 1 places: true',
    );
    ok(find(element, 'lw-shifts').shadowRoot!.textContent!.includes('Arrows are 2 times as long'), 'the factor');
    await clean(element);
    const canvas = find<HTMLCanvasElement>(element, 'lw-shifts-over', 'canvas');
    const { right, count } = brightBox(canvas);
    // From the middle 2 px · 2 to the right: the letter stands at the tip.
    ok(count > 20 && right > canvas.width / 2 + 20, `${count} ${right}`);
  });

  it('can be left out line by line', async () => {
    find<HTMLInputElement>(element, 'lw-shifts', 'input').click();
    await settled(element);
    equal($hiddenShifts.get(), ['O']);
    equal(brightBox(find<HTMLCanvasElement>(element, 'lw-shifts-over', 'canvas')).count, 0);
  });

  it('say what is not known, and that they are looked for', async () => {
    const unknown = { channel: 'O', reference: 'H', status: 'unknown', reason: 'no common structure found' } as const;
    $together.set({ registration: [unknown], misfits: [], warnings: [] });
    await settled(element);
    ok(find(element, 'lw-shifts').shadowRoot!.textContent!.includes('O: not known, no common structure'), 'unknown');
    $together.set(undefined);
    await settled(element);
    ok((await names('status')).length > 0, 'looking');
    await clean(element);
  });
});

describe('the background of a line', () => {
  const asked: SurfaceQuestion[] = [];
  const previews: unknown[] = [];
  let element: LitElement;
  beforeEach(async () => {
    useEngine({
      async call(name: string, argument: never) {
        if (name === 'preview') previews.push((argument as { recipe: unknown }).recipe);
        if (name === 'preview') return preview() as never;
        if (name !== 'surface') throw new LinewashError({ tag: 'cancelled', message: 'not asked for here' });
        asked.push(argument);
        return surfaceView((argument as SurfaceQuestion).line) as never;
      },
      fail() {},
    } as never);
    asked.length = 0;
    previews.length = 0;
    beginWith({
      matrix: [
        [1, 0, 0],
        [0, 1, 0],
        [0, 0, 1],
      ],
    });
    $picture.set(preview());
    $camera.set(undefined);
    $skyView.set('surface');
    $masters.set(['S', 'H', 'O'].map((line) => master(line)));
    $tools.set(['sky']);
    element = await mount('lw-picture');
    await pause();
    await settled(element);
    await frame();
  });
  afterEach(() => $tools.set([]));

  it('is shown with its numbers, its warning and its blocks', async () => {
    equal(await names('radio'), ['radio the line', 'radio its background surface', 'radio what is left']);
    equal((await spoken('combobox')).map(({ name, value }) => `${name}: ${value}`).slice(-2), [
      'Line: S',
      'Try: the most certain surface',
    ]);
    const words = find(element, 'lw-sky').shadowRoot!.textContent!;
    for (const part of [
      'S: 1 of 2 blocks used; they scatter by 3.123',
      'it may follow the nebula',
      'those with a frame are rejected',
    ])
      ok(words.includes(part), part);
    const canvas = find<HTMLCanvasElement>(element, 'lw-sky-over', 'canvas');
    const { data } = canvas.getContext('2d')!.getImageData(canvas.width / 2, canvas.height / 2, 1, 1);
    equal([...data], [200, 100, 50, 255], 'the surface lies over the mix');
    await clean(element);
  });

  it('can be another line, another order, and becomes the recipe', async () => {
    const [line, order] = [...find(element, 'lw-sky').shadowRoot!.querySelectorAll('select')];
    line!.value = 'O';
    line!.dispatchEvent(new Event('change'));
    order!.value = '3';
    order!.dispatchEvent(new Event('change'));
    await pause();
    equal([asked.at(-1)!.line, asked.at(-1)!.background], ['O', { model: 'surface', order: 3 }]);
    find<HTMLButtonElement>(element, 'lw-sky', 'button').click();
    equal($recipe.get().background, { model: 'surface', order: 3 });
    await settled(element);
    ok(find(element, 'lw-sky').shadowRoot!.textContent!.includes('The recipe takes it off all lines.'), 'said');
  });

  it('shows the line alone, and what is left when the surface is taken off', async () => {
    for (const [i, background] of [
      [1, undefined],
      [3, { model: 'surface', order: 3 }],
    ] as const) {
      find<HTMLInputElement>(element, 'lw-sky', `label:nth-of-type(${i}) input`).click();
      await pause();
      const last = previews.at(-1) as { background?: unknown; matrix: unknown };
      equal([last.background, last.matrix], [background, [[1], [1], [1]]]);
    }
  });
});
