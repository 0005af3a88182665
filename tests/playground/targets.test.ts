import '../../playground/elements/targets/targets.ts';
import { CATALOGUE } from '../../lib/palettes/catalogue.ts';
import { keptHandles } from '../../playground/model/handle-store.ts';
import { checkedOpen } from '../../playground/model/kept-open.ts';
import { notePlace } from '../../playground/model/places.ts';
import { $arrival } from '../../playground/state/arrival.ts';
import { $background, setBox } from '../../playground/state/box.ts';
import { useEngine } from '../../playground/state/engine.ts';
import { openFiles } from '../../playground/state/files.ts';
import { $places } from '../../playground/state/held-places.ts';
import { $targets, notePart, redoChange, undoChange } from '../../playground/state/history.ts';
import { $feature } from '../../playground/state/hours.ts';
import { keep, kept } from '../../playground/state/kept.ts';
import { $masters, $onSamples } from '../../playground/state/masters.ts';
import { $messages } from '../../playground/state/messages.ts';
import { showMasters } from '../../playground/state/open-set.ts';
import { openMasters } from '../../playground/state/opening.ts';
import { $picture } from '../../playground/state/picture.ts';
import { $recipe, beginWith } from '../../playground/state/recipe.ts';
import { offerReturn } from '../../playground/state/returning.ts';
import { switchTarget } from '../../playground/state/targets.ts';
import { $camera } from '../../playground/state/view.ts';
import { equal, ok } from './assert.ts';
import { clean, find, mount, preview, settled, until, withoutWorker } from './support.ts';

const asked: string[] = [];
const closed: string[] = [];

/** What the worker tells of `OBJECT-LINE.fits`; an object `none` stands for a header without one. */
const openByName = ({ id, name }: { id: string; name: string }) => {
  const [object, line] = name.replace('.fits', '').split('-');
  asked.push(name);
  const facts = { filter: line, from: { filter: 'FILTER' }, ...(object !== 'none' && { object }) };
  return { id, file: name, width: 60, height: object === 'Tall' ? 80 : 40, type: 'u16', facts, warnings: [] };
};

const file = (name: string): File => new File([name], name);
const lines = () => $masters.get().map(({ file: name, line }) => `${line} ${name}`);
const drop = (...names: readonly string[]) => openFiles(names.map(file));
const season = ['Wing-H.fits', 'Wing-O.fits', 'Shell-O.fits', 'wing-S.fits', 'Shell-H.fits'];

beforeEach(() => {
  localStorage.clear();
  useEngine({
    async call(name: string, wish: never) {
      if (name === 'open') return openByName(wish) as never;
      if (name === 'close') closed.push((wish as { id: string }).id);
      return withoutWorker(name);
    },
    fail() {},
  } as never);
  showMasters({ masters: [], onSamples: true });
  $messages.set([]);
  beginWith(CATALOGUE.find(({ id }) => id === 'hoo')!.recipe);
  $camera.set(undefined);
  $picture.set(undefined);
  asked.length = 0;
});

afterEach(() => {
  beginWith(CATALOGUE[0]!.recipe);
  $masters.set([]);
});

describe('masters of several targets', () => {
  it('are grouped where the page opens with them, each with the line that it was given for', async () => {
    const names = ['Wing-H.fits', 'Wing-O.fits', 'Shell-O.fits', 'Shell-H.fits'];
    const said = { 'Shell-H.fits': 'S' } as Record<string, string>;
    await openMasters(
      names.map((name) => ({ name, said: said[name], from: file(name) })),
      'served',
    );
    equal(
      $targets.get()!.all.map(({ name }) => name),
      ['Shell', 'Wing'],
    );
    equal(lines(), ['O Shell-O.fits', 'S Shell-H.fits']);
    switchTarget('Wing');
    await until(() => lines().length === 2);
    equal(lines(), ['H Wing-H.fits', 'O Wing-O.fits']);
  });

  it('are open one target at a time, and take boxes, view and held places with them while the mix stays', async () => {
    await drop(...season);
    equal([$targets.get()!.current, $targets.get()!.all.map(({ name }) => name)], ['Shell', ['Shell', 'Wing']]);
    equal(lines(), ['O Shell-O.fits', 'H Shell-H.fits']);
    const words = $messages.get().map((one) => one.words);
    ok(
      words.some((one) => one.includes('Wing (H, O, S)')),
      words.join(),
    );
    const camera = { x: 5, y: 6, scale: 2 };
    $camera.set(camera);
    const places = [{ x: 3, y: 4, colour: '0.1@40' }];
    $places.set(places);
    setBox('background', { x: 1, y: 2, width: 8, height: 9 });
    setBox('feature', { x: 3, y: 3, width: 8, height: 8 });
    switchTarget('Wing');
    await until(() => $masters.get().length === 3);
    $picture.set(preview());
    equal([$background.get(), $feature.get(), $camera.get()], [undefined, undefined, undefined]);
    equal($places.get(), []);
    equal($recipe.get().name, 'HOO');
    $camera.set({ x: 9, y: 9, scale: 1 });
    switchTarget('Shell');
    await until(() => lines()[0] === 'O Shell-O.fits');
    $picture.set(preview());
    equal([$background.get()?.width, $feature.get()?.x, $camera.get()], [8, 3, camera]);
    equal($places.get(), places);
    // A step back is the other target again, with all that belongs to it.
    undoChange();
    await until(() => $masters.get().length === 3);
    $picture.set(preview());
    equal([$targets.get()!.current, $background.get(), $camera.get()?.x], ['Wing', undefined, 9]);
    redoChange();
    equal([$targets.get()!.current, $background.get()?.width], ['Shell', 8]);
  });

  it('are one target where only file names differ and no line has two masters', async () => {
    await drop('none-H.fits', 'none-O.fits');
    equal([$targets.get(), $masters.get().length], [undefined, 2]);
    beginWith($recipe.get());
    showMasters({ masters: [], onSamples: true });
    const [one, other] = [file('none-H.fits'), file('none-H.fits')];
    notePlace(one, { path: 'season/first/none-H.fits' });
    notePlace(other, { path: 'season/second/none-H.fits' });
    // Nothing but the folder tells them apart: the name of the file is its own, without the line.
    await openFiles([one, other]);
    equal($targets.get(), undefined);
    beginWith($recipe.get());
    showMasters({ masters: [], onSamples: true });
    await drop('Wing-H.fits', 'Tall-H.fits', 'Tall-O.fits');
    equal(
      $targets.get()!.all.map(({ name, masters }) => `${name} ${masters.length}`),
      ['Tall 2', 'Wing 1'],
    );
  });

  it('join those that are open when they are another target, and can be undone', async () => {
    await drop('Wing-H.fits', 'Wing-O.fits');
    const opening = drop('Shell-H.fits', 'Shell-O.fits');
    await until(() => $arrival.get() !== undefined);
    $arrival.get()!.answer('target');
    await opening;
    equal(
      [$targets.get()!.current, $targets.get()!.all.length, lines()],
      ['Shell', 2, ['H Shell-H.fits', 'O Shell-O.fits']],
    );
    undoChange();
    equal(lines(), ['H Wing-H.fits', 'O Wing-O.fits']);
    undoChange();
    equal([$targets.get(), $onSamples.get()], [undefined, true]);
  });

  it('are switched in the head of the page', async () => {
    const element = await mount('lw-targets');
    equal(element.shadowRoot!.querySelector('select'), null);
    await drop(...season);
    await settled(element);
    const select = find<HTMLSelectElement>(element, 'select');
    equal([select.value, [...select.options].map(({ text }) => text)], ['Shell', ['Shell', 'Wing']]);
    select.value = 'Wing';
    select.dispatchEvent(new Event('change'));
    await until(() => $masters.get().length === 3);
    await settled(element);
    equal([$targets.get()!.current, select.value], ['Wing', 'Wing']);
    await clean(element);
  });
});

describe('masters of the last visit', () => {
  const leave = async (): Promise<void> => {
    await until(() => checkedOpen(kept('open')) !== undefined);
    beginWith($recipe.get());
    showMasters({ masters: [], onSamples: true });
    asked.length = 0;
  };

  it('are opened again by their handles, target by target', async () => {
    const root = await navigator.storage.getDirectory();
    const folder = await root.getDirectoryHandle('season', { create: true });
    const files: File[] = [];
    for (const name of season) {
      const handle = await folder.getFileHandle(name, { create: true });
      const stream = await handle.createWritable();
      await stream.write(name);
      await stream.close();
      const one = await handle.getFile();
      notePlace(one, { path: `season/${name}`, root: folder });
      files.push(one);
    }
    await openFiles(files);
    setBox('background', { x: 1, y: 2, width: 8, height: 9 });
    await until(() => checkedOpen(kept('open'))?.targets[0]?.boxes.from !== undefined);
    for (let i = 0; i < 100 && (await keptHandles()).length < 5; i++) await new Promise((r) => setTimeout(r, 50));
    await leave();
    await offerReturn(season);
    equal([asked.length, $targets.get()!.current, lines()], [5, 'Shell', ['O Shell-O.fits', 'H Shell-H.fits']]);
    switchTarget('Wing');
    switchTarget('Shell');
    equal($background.get()?.width, 8);
  });

  it('are asked for by name where there is no handle, and opened when they come', async () => {
    keep('open', {
      current: 'Other',
      targets: [
        {
          name: 'Other',
          masters: [{ file: 'Other-H.fits', name: 'Other-H.fits', size: 12, line: 'O' }],
          boxes: { from: 'x' },
        },
        { name: 'evil', masters: 7 },
      ],
    });
    await offerReturn(['Other-H.fits']);
    const told = () => $messages.get().filter(({ topic }) => topic === 'work');
    const { advice, action } = told()[0]!;
    ok(advice!.includes('Other-H.fits'), advice!);
    const chosen = file('Other-H.fits');
    const create = document.createElement.bind(document);
    document.createElement = ((name: string) => {
      const made = create(name);
      if (name === 'input') {
        Object.defineProperty(made, 'files', { value: [chosen] });
        made.click = () => made.dispatchEvent(new Event('change'));
      }
      return made;
    }) as never;
    try {
      action!.act();
      await until(() => $masters.get().length === 1);
    } finally {
      document.createElement = create as never;
    }
    equal([lines(), $onSamples.get(), told().length], [['O Other-H.fits'], false, 0]);
    notePart({ open: undefined });
  });
});
