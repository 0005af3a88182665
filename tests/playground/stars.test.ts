import '../../playground/elements/lines/lines.ts';
import '../../playground/elements/picture/picture.ts';
import '../../playground/elements/stars/stars.ts';
import type { LitElement } from 'lit';
import { LinewashError } from '../../lib/plane/errors.ts';
import { commandLine } from '../../playground/model/command-line.ts';
import { useEngine } from '../../playground/state/engine.ts';
import { openFiles } from '../../playground/state/files.ts';
import { $history, undoChange } from '../../playground/state/history.ts';
import { $masters, $onSamples } from '../../playground/state/masters.ts';
import { $messages } from '../../playground/state/messages.ts';
import { $recipe, beginWith } from '../../playground/state/recipe.ts';
import { $stars, layStars } from '../../playground/state/stars.ts';
import { equal, ok } from './assert.ts';
import { clean, find, master, mount, names, preview, settled, spoken, until } from './support.ts';

const file = (name: string) => new File([new Uint8Array(8)], name);
const calls: string[] = [];
/** What the last stars were to be laid over. */
let lines: unknown;

describe('lw-stars', () => {
  let panel: LitElement;
  beforeEach(async () => {
    calls.length = 0;
    useEngine({
      async call(name: string, argument: never) {
        const { stars } = argument as { stars?: boolean };
        calls.push(name === 'preview' && stars ? 'preview with stars' : name);
        const { files = [], name: called = '' } = argument as { files?: unknown[]; name?: string };
        if (name === 'isColour') return called.startsWith('stars') as never;
        if (name === 'openStars') lines = (argument as { lines?: unknown }).lines;
        if (name === 'openStars' && files.length !== 2)
          return { width: 60, height: 40, warnings: ['it is odd'] } as never;
        if (name === 'preview') return preview() as never;
        throw new LinewashError({ tag: name === 'openStars' ? 'input' : 'cancelled', message: 'no' });
      },
      fail() {},
    } as never);
    $messages.set([]);
    $stars.set(undefined);
    $onSamples.set(false);
    beginWith({
      matrix: [
        [1, 0, 0],
        [0, 1, 0],
        [0, 0, 1],
      ],
    });
    $masters.set(['S', 'H', 'O'].map((line) => master(line)));
    panel = await mount('lw-stars');
  });
  afterEach(() => $stars.set(undefined));

  it('is a button until stars are open', async () => {
    equal(await names('button'), ['button Lay stars over…']);
    await clean(panel);
  });

  it('says where only the mix below them is shown', async () => {
    const note = await mount('lw-stars-note');
    equal(note.shadowRoot!.textContent!.trim(), '');
    await layStars([file('stars.tif')]);
    await settled(note);
    ok(note.shadowRoot!.textContent!.includes('wall show the mix below the stars'), 'it is said');
    await clean(note);
  });

  it('lays a dropped colour picture over, which can be taken off again', async () => {
    await openFiles([file('stars.tif')]);
    equal(
      $stars.get()!.files.map(({ name }) => name),
      ['stars.tif'],
    );
    await until(() => calls.includes('preview with stars'));
    equal($messages.get()[0]!.words, 'stars.tif: laid over the mix as stars.');
    await settled(panel);
    equal(await names('button'), ['button Other stars…', 'button Take them off']);
    ok(panel.shadowRoot!.textContent!.includes('Note: it is odd.'), 'what reading it found is said');
    await clean(panel);
    find<HTMLButtonElement>(panel, '.buttons button:nth-child(2)').click();
    equal($stars.get(), undefined);
    await until(() => calls.lastIndexOf('preview') > calls.lastIndexOf('preview with stars'));
  });

  it('tells three masters by their colours, and says what is wrong', async () => {
    await layStars(['r', 'g', 'b'].map(file));
    await settled(panel);
    equal(find(panel, '.files').textContent, 'red r, green g, blue b');
    await layStars(['r', 'g'].map(file));
    // One message alone: what is refused is not laid over.
    equal(
      $messages.get().map(({ topic, kind }) => [topic, kind]),
      [['stars', 'fault']],
    );
    equal($stars.get()!.files.length, 3);
    equal(lines, { S: 'id-S', H: 'id-H', O: 'id-O' });
  });

  it('sets strength, curve, black and white as steps that can be taken back', async () => {
    await layStars([file('stars.fits')]);
    await settled(panel);
    const set = async (at: number, detail: number) => {
      panel.shadowRoot!.querySelectorAll('lw-number')[at]!.dispatchEvent(new CustomEvent('lw-number', { detail }));
      await settled(panel);
    };
    const choose = async (at: number, value: string) => {
      const select = panel.shadowRoot!.querySelectorAll('select')[at]!;
      select.value = value;
      select.dispatchEvent(new Event('change'));
      await settled(panel);
    };
    await set(0, 0.6);
    await choose(0, 'asinh');
    await set(1, 0.3);
    await choose(1, 'noise');
    await choose(2, 'percentile');
    equal($recipe.get().stars, {
      strength: 0.6,
      stretch: { curve: 'asinh', background: 0.3 },
      levels: { black: { noise: -3 }, white: { percentile: 99.9 } },
    });
    equal(
      (await spoken('spinbutton')).map(({ name, value }) => `${name} ${value}`),
      ['Strength 0.6', 'Faint stars shown at 0.3', 'Black above its sky by 3', 'White at percentile 99.9'],
    );
    await clean(panel);
    equal($history.get().present.label, 'stars: white');
    undoChange();
    await settled(panel);
    await choose(1, '');
    await choose(0, '');
    await set(0, 1);
    equal($recipe.get().stars, { stretch: { background: 0.3 } });
  });

  it('are part of the command, as is the crop', () => {
    const masters = [
      { line: 'H', file: 'a.fits' },
      { line: 'H', file: 'b.fits' },
    ];
    equal(
      commandLine('hoo', masters, 'x', { crop: true, stars: ['r.fits', 'g.fits', 'b.fits'] }),
      'linewash mix hoo H=a.fits,b.fits --stars r.fits,g.fits,b.fits --crop -o x.tif',
    );
  });
});

describe('several masters of one line', () => {
  it('are told with their shares and the gain, on the first of them', async () => {
    $masters.set([master('H'), master('H', { id: 'new', file: 'new.fits', reason: { kind: 'together' } })]);
    useEngine({
      async call(name: string) {
        if (name !== 'combinations') throw new LinewashError({ tag: 'cancelled', message: 'not asked for here' });
        const parts = [0.36, 0.64].map((weight, i) => ({ file: `${i}.fits`, weight }));
        return [{ line: 'H', parts, gain: 1.25, warnings: ['too little beside noise'] }] as never;
      },
      fail() {},
    } as never);
    const panel = await mount('lw-lines');
    await until(() => find(panel, 'lw-line').shadowRoot!.textContent!.includes('2 masters combined'));
    const [first, second] = [...panel.shadowRoot!.querySelectorAll('lw-line')].map((e) => e.shadowRoot!.textContent!);
    ok(first!.includes('2 masters combined (36 % + 64 %): 1.25 × less noise than the best of them'), first!);
    ok(first!.includes('too little beside noise'), 'its warning');
    ok(second!.includes('combined with the other of its line') && !second!.includes('masters combined'), second!);
    await clean(panel);
  });

  it('are taken apart where they do not belong together, with the reason', async () => {
    $masters.set([master('H'), master('O')]);
    useEngine({
      call: () => Promise.reject(new LinewashError({ tag: 'input', message: 'they do not show the same' })),
      fail() {},
    });
    await mount('lw-lines');
    const [, second] = $masters.get();
    const select = document.querySelector('lw-lines')!.shadowRoot!.querySelectorAll('lw-line')[1]!;
    const choice = find<HTMLSelectElement>(select, 'select');
    equal([...choice.options].at(-2)!.textContent!.trim(), 'H, together with field-H.fits');
    choice.value = '+H';
    choice.dispatchEvent(new Event('change'));
    await until(() => $masters.get()[1]!.line === '');
    equal($masters.get()[1]!.reason, { kind: 'apart', why: 'they do not show the same' });
    equal(second!.id, 'id-O');
    $messages.set([]);
  });
});
