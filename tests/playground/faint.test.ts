import '../../playground/elements/faint/faint.ts';
import '../../playground/elements/picture/picture.ts';
import type { LitElement } from 'lit';
import { LinewashError } from '../../lib/plane/errors.ts';
import { checkedPlan } from '../../playground/model/kept-plan.ts';
import { $alone } from '../../playground/state/alone.ts';
import { setBox } from '../../playground/state/box.ts';
import { useEngine } from '../../playground/state/engine.ts';
import { $faint, $faintChosen, $faintMap, $lookingForFaint } from '../../playground/state/faint.ts';
import { $faintShown } from '../../playground/state/faint-shown.ts';
import { $place, $plan, setSpent } from '../../playground/state/hours.ts';
import { $masters } from '../../playground/state/masters.ts';
import { $picture } from '../../playground/state/picture.ts';
import { $camera, $drawer, $frame } from '../../playground/state/view.ts';
import { faintView } from '../../playground/story/example-faint.ts';
import { equal, ok } from './assert.ts';
import { clean, find, master, mount, names, preview, settled, until, withoutWorker } from './support.ts';

const words = (element: Element) => element.shadowRoot!.textContent!.replaceAll(/\s+/g, ' ').trim();

describe('lw-faint', () => {
  let panel: LitElement;
  let question: { line: string; falseBlobs: number; largest: number };
  let answer: () => Promise<unknown>;
  const button = (label: string) =>
    [...panel.shadowRoot!.querySelectorAll('button')].find((one) => one.textContent!.trim() === label)!;
  const look = async () => {
    panel.shadowRoot!.querySelector<HTMLButtonElement>(':host > button, button')!.click();
    await until(() => $lookingForFaint.get() === undefined);
    await settled(panel);
  };

  beforeEach(async () => {
    answer = async () => faintView();
    useEngine({
      call: (async (name: string, asked: never, options: { signal: AbortSignal; progress(done: number): void }) => {
        if (name !== 'faint') throw new LinewashError({ tag: 'cancelled', message: 'not asked here' });
        question = asked;
        options.progress(0.5);
        const found = await answer();
        if (options.signal.aborted) throw new LinewashError({ tag: 'cancelled', message: 'stopped' });
        return found;
      }) as never,
      fail() {},
    });
    $masters.set(['S', 'H', 'O'].map((line) => master(line)));
    panel = await mount('lw-faint', { line: 'O' } as never);
  });
  afterEach(() => {
    useEngine({ call: withoutWorker as never, fail() {} });
    $masters.set([]);
    $alone.set(undefined);
    $faintMap.set(false);
    $drawer.set('mix');
    setBox('feature', undefined);
  });

  it('asks for what is stated, and tells what it found in plain words', async () => {
    find<HTMLInputElement>(panel, 'lw-number').dispatchEvent(new CustomEvent('lw-number', { detail: 3 }));
    const largest = find<HTMLSelectElement>(panel, 'select');
    largest.value = '32';
    largest.dispatchEvent(new Event('change'));
    await look();
    equal([question.line, question.falseBlobs, question.largest], ['O', 3, 32]);
    for (const part of [
      '2 outlines. Noise alone makes about 1. 7 stars left out.',
      '1: 16 px, 2.4 times the limit to 3: reached; to 5: 12 h (7–31 h)',
      '2: 8 px, 1.2 times the limit No hours can be told.',
      '16 px 1 4 75 % 2.5',
      'What cannot be told From 16 px on, nothing below about 0.35 % of the sky',
    ])
      ok(words(panel).includes(part), `${part} is not in: ${words(panel)}`);
    equal([$faintShown.get(), await names('table')], ['O', ['table Sizes']]);
    await clean(panel);
  });

  it('shows an outline, and makes it what hours are planned for until a box is drawn', async () => {
    const view = { width: 400, height: 300 };
    const open = { x: 0, y: 0, ...view };
    $frame.set({ view, camera: { x: 30, y: 20, scale: 5 }, full: { width: 60, height: 40 }, open, cells: [open] });
    await look();
    find<HTMLButtonElement>(panel, '[aria-label="Show outline 1"]').click();
    // 18 × 12 pixels about (29, 16) fill .4 of the view.
    equal([$alone.get()?.line, $faintChosen.get()], ['O', 0]);
    equal($camera.get(), { scale: 5, x: 29, y: 16 });
    find<HTMLButtonElement>(panel, '[aria-label="Plan hours for outline 1"]').click();
    const { box, outline } = faintView().features[0]!;
    equal([$drawer.get(), $plan.get().goal, $plan.get().feature, $place.get()], ['hours', 'snr', box, { outline }]);
    equal(checkedPlan(JSON.parse(JSON.stringify($plan.get()))).outline, outline);
    equal(checkedPlan({ ...$plan.get(), outline: [[1, 2, 3]] }).outline, undefined);
    setBox('feature', { x: 1, y: 2, width: 8, height: 8 });
    equal($place.get(), { box: { x: 1, y: 2, width: 8, height: 8 } });
    $camera.set(undefined);
    $frame.set(undefined);
  });

  it('forgets what was found with other masters or other hours', async () => {
    await look();
    setSpent('H', 3);
    ok($faint.get().O !== undefined, 'hours of another line');
    setSpent('O', 3);
    equal([$faint.get().O, $faintShown.get()], [undefined, undefined]);
    setSpent('O', undefined);
    await look();
    $masters.set([master('H')]);
    await settled(panel);
    equal([$faint.get().O, $faintShown.get()], [undefined, undefined]);
    ok(button('Look for faint things').disabled, 'there is no master of O');
  });

  it('tells how far it is, and can be stopped', async () => {
    let end = () => {};
    answer = () =>
      new Promise((done) => {
        end = () => done(faintView());
      });
    button('Look for faint things').click();
    await settled(panel);
    equal(
      [find<HTMLProgressElement>(panel, 'progress').value, await names('progressbar')],
      [0.5, ['progressbar Looking at O']],
    );
    button('Stop').click();
    end();
    await until(() => $lookingForFaint.get() === undefined);
    await settled(panel);
    equal([$faint.get().O, $faintShown.get()], [undefined, undefined]);
    ok(button('Look for faint things') !== undefined, 'again');
  });
});

describe('outlines over the picture', () => {
  const frame = () => new Promise((resolve) => requestAnimationFrame(() => requestAnimationFrame(resolve)));
  const count = (canvas: HTMLCanvasElement, is: (r: number, g: number, b: number) => boolean) => {
    const { data } = canvas.getContext('2d')!.getImageData(0, 0, canvas.width, canvas.height);
    let found = 0;
    for (let i = 0; i < data.length; i += 4)
      if (data[i + 3]! > 200 && is(data[i]!, data[i + 1]!, data[i + 2]!)) found++;
    return found;
  };

  it('have the colour of their size, lie over the map where it is shown, and are chosen by a click', async () => {
    $masters.set(['S', 'H', 'O'].map((line) => master(line)));
    $picture.set(preview());
    $faint.set({ O: faintView() });
    $faintShown.set('O');
    const picture = await mount('lw-picture');
    await frame();
    await settled(picture);
    const over = find<LitElement>(picture, 'lw-faint-over');
    const canvas = () => find<HTMLCanvasElement>(over, 'canvas');
    const red = (r: number, g: number, b: number) => Math.abs(r - 240) + Math.abs(g - 100) + Math.abs(b - 100) < 12;
    const green = (r: number, g: number, b: number) => r < 10 && g > 245 && b < 10;
    ok(count(canvas(), red) > 100, 'the outline of 16 px');
    equal(count(canvas(), green), 0);
    $faintMap.set(true);
    await settled(over);
    ok(count(canvas(), green) > 1000 && count(canvas(), red) > 100, 'the map below it');

    const { camera, view } = $frame.get()!;
    const press = (x: number, y: number, moved = 0) => {
      const element = find<HTMLElement>(picture, '.view');
      const { left, top } = element.getBoundingClientRect();
      const at = {
        clientX: left + (x - camera.x) * camera.scale + view.width / 2,
        clientY: top + (y - camera.y) * camera.scale + view.height / 2,
      };
      element.dispatchEvent(new PointerEvent('pointerdown', { ...at, button: 2 }));
      element.dispatchEvent(new MouseEvent('click', { ...at, clientX: at.clientX + moved }));
    };
    press(29, 16);
    equal($faintChosen.get(), 0);
    press(5, 35);
    equal($faintChosen.get(), undefined, 'outside of all');
    press(29, 16, 30);
    equal($faintChosen.get(), undefined, 'the picture was moved');
    $faintMap.set(false);
    $faintShown.set(undefined);
    $masters.set([]);
    $picture.set(undefined);
  });
});
