import { sendMouse } from '@web/test-runner-commands';
import '../../playground/elements/picture/picture.ts';
import '../../playground/elements/probe/probe.ts';
import type { LitElement } from 'lit';
import { probeJson } from '../../playground/model/probe-figures.ts';
import { $masters } from '../../playground/state/masters.ts';
import { $picture } from '../../playground/state/picture.ts';
import { $held, $linked, $probe, $spot } from '../../playground/state/probe.ts';
import { $tools } from '../../playground/state/tools.ts';
import { $camera } from '../../playground/state/view.ts';
import { probed as answer } from '../../playground/story/examples.ts';
import { equal, ok } from './assert.ts';
import { clean, find, master, mount, names, press, preview, settled, spoken } from './support.ts';

const frame = () => new Promise((resolve) => requestAnimationFrame(() => requestAnimationFrame(resolve)));

describe('lw-probe', () => {
  let element: LitElement;
  beforeEach(async () => {
    $linked.set(false);
    $held.set(false);
    $masters.set([master('S'), master('H'), master('O')]);
    $picture.set(preview());
    $spot.set({ x: 12, y: 7 });
    element = await mount('lw-probe');
    $probe.set(answer());
    await settled(element);
  });

  it('shows what each line brings, its share, and the colour that comes of it', async () => {
    const cells = [...element.shadowRoot!.querySelectorAll('tbody tr')].map((row) =>
      [...row.children].map((cell) => cell.textContent!.trim()),
    );
    equal(cells, [
      ['S', '1136', '0.400', '0.000', '0.100 (25 %)', '0.000'],
      ['H', '4195', '0.650', '0.650 (100 %)', '0.000', '0.000'],
      ['O', '2767', '0.600', '0.000', '0.300 (75 %)', '−0.100 (100 %)'],
      ['mixed', '', '', '0.650', '0.400', '−0.100'],
    ]);
    equal(
      [...element.shadowRoot!.querySelectorAll('dd')].map((dd) => dd.textContent),
      ['12, 7', '0.650  0.400  0.100', '0.600  0.120  55°', '0.010  0.020  0.030'],
    );
    equal(find(element, '.state').textContent, 'Less than none of blue: out of gamut.');
    equal(getComputedStyle(find(element, '.patch')).backgroundColor, 'color(srgb 0.65 0.4 0.1)');
    equal(
      (await names('region')).map((name) => name.trim()),
      ['region Probe'],
    );
    await clean(element);
  });

  it('says where a line has no data', async () => {
    const { colour: _, mixed: __, noise: ___, ...rest } = answer();
    $probe.set({ ...rest, lines: [{ ...rest.lines[0]!, value: Number.NaN, strength: Number.NaN }] });
    await settled(element);
    ok(find(element, 'tbody').textContent!.includes('no data'), 'in its row');
    equal(find(element, '.state').textContent, 'A line has no data here.');
  });

  it('shows the same pixel in every candidate', async () => {
    find<HTMLDetailsElement>(element, 'details').open = true;
    await frame();
    await settled(element);
    equal($linked.get(), true);
    ok(find(element, 'li').textContent!.includes('HOO'), 'named');
    equal(getComputedStyle(find(element, 'li .patch')).backgroundColor, 'color(srgb 0 1 0)');
    await clean(element);
  });

  it('gives its numbers as JSON', () => {
    const written = JSON.parse(probeJson(answer(), { recipe: 'Ember' }));
    equal(
      [written.recipe, written.x, written.lines[1].value, written.colour.oklch],
      ['Ember', 12, 4195, [0.6, 0.12, 55]],
    );
  });
});

describe('the probe over the picture', () => {
  let element: LitElement;
  const view = () => find<HTMLElement>(element, '.view');
  beforeEach(async () => {
    $picture.set(preview());
    $camera.set(undefined);
    $spot.set(undefined);
    $probe.set(undefined);
    $held.set(false);
    $tools.set(['probe']);
    element = await mount('lw-picture');
    await frame();
    await settled(element);
  });
  afterEach(() => $tools.set([]));

  it('follows the mouse, and a click holds it', async () => {
    const box = view().getBoundingClientRect();
    const middle = [Math.round(box.x + box.width / 2), Math.round(box.y + box.height / 2)] as [number, number];
    await sendMouse({ type: 'move', position: middle });
    const { x, y } = $spot.get()!;
    ok(Math.abs(x - 30) <= 1 && Math.abs(y - 20) <= 1, `${x}, ${y} is the middle of 60 × 40`);
    await sendMouse({ type: 'click', position: middle });
    equal($held.get(), true);
    await sendMouse({ type: 'move', position: [middle[0] + 60, middle[1]] });
    equal($spot.get(), { x, y });
  });

  it('moves by arrow keys, ten pixels with Shift, and stays in the picture', async () => {
    view().focus();
    $spot.set({ x: 30, y: 20 });
    await press('ArrowRight');
    await press('ArrowDown');
    equal($spot.get(), { x: 31, y: 21 });
    await press('Shift+ArrowLeft');
    equal($spot.get(), { x: 21, y: 21 });
    $spot.set({ x: 0, y: 0 });
    await press('ArrowUp');
    equal($spot.get(), { x: 0, y: 0 });
    equal($camera.get(), undefined);
    // Held, the same keys move the picture.
    await press('1');
    await press('Enter');
    const before = $camera.get()!;
    await press('ArrowRight');
    ok($camera.get()!.x > before.x, 'the picture moves');
    equal($spot.get(), { x: 0, y: 0 });
  });

  it('says in the name of the view which keys move it', async () => {
    const [group] = (await spoken('group')).filter(({ name }) => name.startsWith('Picture'));
    ok(group!.name.includes('Enter'), group!.name);
  });
});
