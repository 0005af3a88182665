import '../../playground/elements/lines/lines.ts';
import '../../playground/elements/rejected/rejected.ts';
import type { LitElement } from 'lit';
import { LinewashError } from '../../lib/plane/errors.ts';
import { createMask, mark } from '../../lib/plane/mask.ts';
import type { RejectedPixels } from '../../lib/web/rejected.ts';
import { paintRejected } from '../../playground/model/draw-rejected.ts';
import { $alone } from '../../playground/state/alone.ts';
import { useEngine } from '../../playground/state/engine.ts';
import { $masters } from '../../playground/state/masters.ts';
import { $findingRejected, $rejected } from '../../playground/state/rejected.ts';
import { $rejectedShown } from '../../playground/state/rejected-shown.ts';
import { $camera, $frame } from '../../playground/state/view.ts';
import { equal, ok } from './assert.ts';
import { clean, find, master, mount, names, press, settled, until } from './support.ts';

const marked = (...places: [x: number, y: number][]) => {
  const mask = createMask(60, 40);
  for (const [x, y] of places) mark(mask, x, y);
  return mask;
};
const found: readonly RejectedPixels[] = [
  {
    line: 'O',
    file: 'new.fits',
    pixels: 1234,
    mask: marked([10, 5], [59, 39]),
    largest: { x: 8, y: 4, width: 5, height: 3 },
  },
  { line: 'O', file: 'old.fits', pixels: 0, mask: marked() },
];
const view = { width: 400, height: 300 };

describe('rejected pixels', () => {
  let panel: LitElement;
  let asked: unknown[];
  let answer: () => Promise<readonly RejectedPixels[]>;
  const words = () => panel.shadowRoot!.textContent!.replaceAll(/\s+/g, ' ').trim();
  const box = () => find<HTMLInputElement>(panel, 'input');

  beforeEach(async () => {
    asked = [];
    answer = () => Promise.resolve(found);
    useEngine({
      call: (async (name: string, question: unknown) => {
        if (name !== 'rejected') throw new LinewashError({ tag: 'cancelled', message: 'not asked here' });
        asked.push(question);
        return answer();
      }) as never,
      fail() {},
    });
    $masters.set([master('H'), master('O', { id: 'new' }), master('O', { id: 'old' })]);
    const open = { x: 100, y: 0, width: 300, height: 300 };
    $frame.set({ view, camera: { x: 30, y: 20, scale: 0.5 }, full: { width: 60, height: 40 }, open, cells: [open] });
    panel = await mount('lw-rejected', { line: 'O' } as never);
  });
  afterEach(() => {
    $alone.set(undefined);
    $frame.set(undefined);
    $camera.set(undefined);
    $masters.set([]);
  });

  it('are marked and counted by master with one key, and hidden with another; they are found once', async () => {
    equal(await names('checkbox'), ['checkbox Mark the rejected pixels of O on the picture']);
    box().focus();
    await press('Space');
    equal($rejectedShown.get(), 'O');
    await until(() => $rejected.get() !== undefined);
    await settled(panel);
    equal(asked, [{ lines: { O: 'new+old' } }]);
    ok(words().includes('new.fits: 1,234 pixels') && words().includes('old.fits: none'), words());
    equal(
      [...panel.shadowRoot!.querySelectorAll('rect')].map((r) => r.getAttribute('fill')),
      ['#ffa028', '#46c8ff'],
    );
    await clean(panel);
    await press('Space');
    equal($rejectedShown.get(), undefined);
    await settled(panel);
    equal(panel.shadowRoot!.querySelector('li'), null);
    await press('Space');
    equal(asked.length, 1);
  });

  it('are shown in the master alone that has the largest group of them', async () => {
    box().click();
    await until(() => $rejected.get() !== undefined);
    await settled(panel);
    equal(await names('button'), ['button Show the largest group in new.fits alone']);
    find<HTMLButtonElement>(panel, 'li button').click();
    equal($alone.get(), { line: 'O', id: 'new', file: 'new.fits' });
    // Four view pixels a pixel; the middle of the stage lies 50 view pixels to the right of that of the view.
    equal($camera.get(), { scale: 4, x: 10.5 - 50 / 4, y: 5.5 });
  });

  it('are forgotten with the masters, and where they cannot be found', async () => {
    box().click();
    await until(() => $rejected.get() !== undefined);
    $masters.set([master('O', { id: 'new' })]);
    equal([$rejected.get(), $rejectedShown.get()], [undefined, undefined]);
    answer = () => Promise.reject(new LinewashError({ tag: 'input', message: 'cannot be read' }));
    await settled(panel);
    box().click();
    await until(() => $findingRejected.get() === undefined && asked.length === 2);
    equal($rejectedShown.get(), undefined);
  });

  it('are painted where they lie, at least one pixel of the screen large', () => {
    const paint = (camera: { x: number; y: number; scale: number }, ratio = 1) => {
      const [width, height] = [view.width * ratio, view.height * ratio];
      const data = new Uint8ClampedArray(4 * width * height);
      const masks = found.map(({ mask }) => mask);
      paintRejected({ width, height, data }, ratio, { view, camera }, masks);
      const places: [number, number][] = [];
      for (let i = 0; i < width * height; i++)
        if (data[4 * i + 3]! > 0) places.push([i % width, Math.floor(i / width)]);
      return { places, data };
    };
    // Half a view pixel a pixel: (10, 5) lies 10 left of and 7.5 above the middle.
    const small = paint({ x: 30, y: 20, scale: 0.5 });
    equal(small.places, [
      [190, 142],
      [214, 159],
    ]);
    equal([...small.data.slice(4 * (142 * 400 + 190), 4 * (142 * 400 + 190) + 3)], [255, 160, 40]);
    const large = paint({ x: 10.5, y: 5.5, scale: 6 }, 2);
    equal(large.places.length, 144);
    equal(
      [large.places[0], large.places.at(-1)],
      [
        [394, 294],
        [405, 305],
      ],
    );
    // Out of sight.
    equal(paint({ x: 1000, y: 1000, scale: 1 }).places, []);
  });
});
