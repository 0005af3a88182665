import '../../playground/elements/defects/defects.ts';
import type { LitElement } from 'lit';
import type { Defect } from '../../lib/check/defects.ts';
import { LinewashError } from '../../lib/plane/errors.ts';
import { $alone } from '../../playground/state/alone.ts';
import { $defects, $lookingForDefects } from '../../playground/state/defects.ts';
import { $defectsShown } from '../../playground/state/defects-shown.ts';
import { useEngine } from '../../playground/state/engine.ts';
import { $masters } from '../../playground/state/masters.ts';
import { $recipe } from '../../playground/state/recipe.ts';
import { $camera, $frame } from '../../playground/state/view.ts';
import { equal, ok } from './assert.ts';
import { clean, find, master, mount, names, settled, until } from './support.ts';

const trail: Defect = {
  kind: 'trail',
  channel: 'O',
  from: [0, 40],
  to: [60, 10],
  angle: 153.4,
  width: 2.5,
  depth: 12,
  score: 20,
  sign: 1,
  certainty: 'sure',
};
const spots: Defect = {
  kind: 'spots',
  channel: 'S',
  from: [4, 5],
  to: [30, 20],
  depth: 300,
  score: 40,
  sign: 1,
  certainty: 'sure',
  count: 2,
  places: [
    [4, 5],
    [30, 20],
  ],
};

describe('lw-defects', () => {
  let panel: LitElement;
  let answer: Promise<readonly Defect[]>;
  const words = () => panel.shadowRoot!.textContent!.replaceAll(/\s+/g, ' ').trim();
  const button = (label: string) =>
    [...panel.shadowRoot!.querySelectorAll('button')].find((one) => one.textContent!.trim() === label)!;
  const look = async () => {
    button('Look for defects').click();
    await until(() => $lookingForDefects.get() === undefined);
    await settled(panel);
  };

  beforeEach(async () => {
    answer = Promise.resolve([trail, spots]);
    useEngine({
      call: (async (name: string, _question: unknown, { signal }: { signal?: AbortSignal } = {}) => {
        if (name !== 'defects') throw new LinewashError({ tag: 'cancelled', message: 'not asked here' });
        const found = await answer;
        if (signal?.aborted) throw new LinewashError({ tag: 'cancelled', message: 'stopped' });
        return found;
      }) as never,
      fail() {},
    });
    $alone.set(undefined);
    $masters.set(['S', 'H', 'O'].map((line) => master(line)));
    const view = { width: 400, height: 300 };
    const open = { x: 100, y: 0, width: 300, height: 300 };
    $frame.set({ view, camera: { x: 30, y: 20, scale: 0.5 }, full: { width: 60, height: 40 }, open, cells: [open] });
    panel = await mount('lw-defects');
    await settled(panel);
  });
  afterEach(() => {
    $alone.set(undefined);
    $frame.set(undefined);
    $camera.set(undefined);
    $masters.set([]);
  });

  it('lists what is found, the plainest first, and marks it over the picture', async () => {
    equal(await names('button'), ['button Look for defects']);
    await look();
    ok(words().includes('S: 2 bright spots in this line alone, about 300 counts 4,5 30,20, sure (score 40)'), words());
    ok(words().indexOf('S: 2 bright') < words().indexOf('O: bright trail, 2.5 px wide, 12 counts'), words());
    equal($defectsShown.get(), true);
    await clean(panel);
    find<HTMLInputElement>(panel, 'label:last-of-type input').click();
    equal($defectsShown.get(), false);
  });

  it('fills spots in the mix, and leaves them again', async () => {
    await look();
    const box = () => find<HTMLInputElement>(panel, 'label[title^="Fill"] input');
    box().click();
    equal($recipe.get().spots, 'fill');
    await settled(panel);
    box().click();
    equal($recipe.get().spots, undefined);
    answer = Promise.resolve([trail]);
    await look();
    equal(panel.shadowRoot!.querySelector('label[title^="Fill"]'), null);
  });

  it('shows the master alone, the defect in the middle of what no panel covers', async () => {
    await look();
    [...panel.shadowRoot!.querySelectorAll<HTMLButtonElement>('li button')][1]!.click();
    equal($alone.get()?.line, 'O');
    // The middle of the stage lies 50 pixels to the right of that of the view.
    equal($camera.get(), { scale: 1, x: 30.5 - 50, y: 25.5 });
  });

  it('says that nothing was found, and forgets what was found in other masters', async () => {
    answer = Promise.resolve([]);
    await look();
    ok(words().includes('No trail, bad column, seam or hot pixel was found.'), words());
    $masters.set([master('H')]);
    await settled(panel);
    equal([$defects.get(), $defectsShown.get()], [undefined, false]);
  });

  it('can be stopped', async () => {
    let end = () => {};
    answer = new Promise((done) => {
      end = () => done([trail]);
    });
    button('Look for defects').click();
    await settled(panel);
    ok(words().includes('Looking at the masters…'), words());
    button('Stop').click();
    end();
    await until(() => $lookingForDefects.get() === undefined);
    await settled(panel);
    equal($defects.get(), undefined);
    ok(button('Look for defects') !== undefined, 'again');
  });
});
