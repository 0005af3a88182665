import '../../playground/elements/picture/picture.ts';
import '../../playground/elements/crop/over.ts';
import '../../playground/elements/save/save.ts';
import '../../playground/elements/wall/arrange.ts';
import type { SheetQuestion } from '../../lib/web/sheet.ts';
import { $hung, $pinned } from '../../playground/state/candidates.ts';
import { $cover, $crop, setCrop } from '../../playground/state/crop.ts';
import { useEngine } from '../../playground/state/engine.ts';
import { $history, redoChange, undoChange } from '../../playground/state/history.ts';
import { $masters } from '../../playground/state/masters.ts';
import { $picture } from '../../playground/state/picture.ts';
import { $printed } from '../../playground/state/printing.ts';
import { $drawingSheet, $pinnedOnly } from '../../playground/state/sheet.ts';
import { $camera } from '../../playground/state/view.ts';
import { equal, ok } from './assert.ts';
import { clean, find, master, mount, names, preview, settled, spoken, until, withoutWorker } from './support.ts';

const sheets: SheetQuestion[] = [];
let box: { x: number; y: number; width: number; height: number } | undefined;
const serve = () =>
  useEngine({
    async call(name: string, argument: never) {
      if (name === 'cover') return { box, warnings: [] } as never;
      if (name !== 'sheet') return withoutWorker(name);
      sheets.push(argument);
      return new Blob(['sheet'], { type: 'image/png' }) as never;
    },
    fail() {},
  } as never);

describe('the crop', () => {
  beforeEach(() => {
    serve();
    setCrop(false);
    $camera.set(undefined);
    $masters.set(['S', 'H', 'O'].map((line) => master(line)));
    $picture.set(preview());
  });
  afterEach(() => setCrop(false));

  it('is chosen where pictures are saved, and tells the size that is left', async () => {
    box = { x: 10, y: 5, width: 40, height: 30 };
    const panel = await mount('lw-save');
    const checkbox = (await spoken('checkbox'))[0]!;
    equal([checkbox.name.trim(), checkbox.checked], ['Crop to what all lines cover', 'false']);
    find<HTMLInputElement>(panel, 'input[type=checkbox]').click();
    await until(() => $cover.get()?.box !== undefined);
    await settled(panel);
    ok(panel.shadowRoot!.textContent!.includes('40 × 30 pixels'), 'the size');
    await clean(panel);
    box = undefined;
    $masters.set(['S', 'H', 'O'].map((line) => master(line, { id: `other ${line}` })));
    await until(() => $cover.get() !== undefined && $cover.get()!.box === undefined);
    await settled(panel);
    ok(panel.shadowRoot!.textContent!.includes('nothing is cut'), 'nothing to cut');
    equal($history.get().present.label, 'crop');
    undoChange();
    equal($crop.get(), false);
    redoChange();
    equal($crop.get(), true);
  });

  it('is shown as a frame over the picture', async () => {
    box = { x: 30, y: 0, width: 30, height: 40 };
    const element = await mount('lw-picture');
    setCrop(true);
    await settled(element);
    $cover.set({ box, warnings: [] });
    await new Promise((resolve) => requestAnimationFrame(() => requestAnimationFrame(resolve)));
    await settled(element);
    const frame = find(element, 'lw-crop-over', 'div').getBoundingClientRect();
    const view = find(element, '.view').getBoundingClientRect();
    // The right half of the picture begins in the middle of the view.
    ok(Math.abs(frame.left - (view.left + view.width / 2)) < 1, `${frame.left} ${view.left}`);
    ok(Math.abs(frame.width / frame.height - 3 / 4) < 0.01, 'its shape');
    await clean(element);
  });
});

describe('the wall as a sheet', () => {
  beforeEach(() => {
    serve();
    sheets.length = 0;
    $pinned.set([]);
    $pinnedOnly.set(false);
    $printed.set(undefined);
    $masters.set(['H', 'O'].map((line) => master(line)));
    $hung.set([
      {
        id: 'own-1',
        recipe: {
          name: 'Mine',
          channels: ['H', 'O'],
          matrix: [
            [1, 0],
            [0, 1],
            [0, 1],
          ],
        },
      },
    ]);
  });
  afterEach(() => $hung.set([]));

  it('shows all that the masters can be mixed to, or what is pinned, and is printed in the place of the page', async () => {
    const panel = await mount('lw-wall-arrange');
    equal(await names('button'), ['button Save as a sheet', 'button Print']);
    await clean(panel);
    find<HTMLButtonElement>(panel, '.sheet button:nth-child(2)').click();
    await until(() => $printed.get() !== undefined);
    ok($printed.get()!.startsWith('blob:'), 'an address');
    ok(sheets[0]!.recipes.length > 2 && sheets[0]!.recipes.some(({ caption }) => caption === 'Mine'), 'all of it');
    ok(!sheets[0]!.recipes.some(({ recipe }) => recipe.name === 'SHO'), 'nothing that needs another line');
    $pinned.set(['own-1']);
    await settled(panel);
    equal((await spoken('checkbox')).at(-1)!.name.trim(), 'Only what is pinned on the sheet');
    find<HTMLInputElement>(panel, 'label:last-of-type input').click();
    find<HTMLButtonElement>(panel, '.sheet button').click();
    await until(() => sheets.length === 2);
    equal(
      sheets[1]!.recipes.map(({ caption }) => caption),
      ['Mine'],
    );
    equal([sheets[1]!.file, sheets[1]!.size], ['wall.png', 800]);
  });

  it('tells how far it is, with a way to stop it', async () => {
    const panel = await mount('lw-wall-arrange');
    let stopped = false;
    $drawingSheet.set({
      done: 0.5,
      cancel: () => {
        stopped = true;
      },
    });
    await settled(panel);
    const [bar] = await spoken('progressbar');
    equal([bar!.name, bar!.value], ['Drawing the sheet', 0.5]);
    await clean(panel);
    find<HTMLButtonElement>(panel, 'progress + button').click();
    ok(stopped, 'drawing is stopped');
    $drawingSheet.set(undefined);
  });
});
