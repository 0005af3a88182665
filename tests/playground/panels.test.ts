import '../../playground/elements/lines/lines.ts';
import '../../playground/elements/messages/messages.ts';
import '../../playground/elements/save/save.ts';
import '../../playground/elements/surround/surround.ts';
import type { LitElement } from 'lit';
import { CATALOGUE } from '../../lib/palettes/catalogue.ts';
import { LinewashError } from '../../lib/plane/errors.ts';
import { useEngine } from '../../playground/state/engine.ts';
import { $masters, $onSamples, $opening, $reports } from '../../playground/state/masters.ts';
import { $messages, report, say } from '../../playground/state/messages.ts';
import { openMasters } from '../../playground/state/opening.ts';
import { $picture } from '../../playground/state/picture.ts';
import { $recipe, beginWith } from '../../playground/state/recipe.ts';
import { $saving } from '../../playground/state/saving.ts';
import { $surround } from '../../playground/state/view.ts';
import { lineReport } from '../../playground/story/examples.ts';
import { equal, ok } from './assert.ts';
import { clean, find, master, mount, names, preview, settled, spoken, until } from './support.ts';

describe('lw-lines', () => {
  let panel: LitElement;
  beforeEach(async () => {
    $onSamples.set(false);
    $opening.set(undefined);
    $masters.set([master('S'), master('H', { line: '', reason: { kind: 'unknown' } })]);
    $reports.set({ S: lineReport('S') });
    $picture.set(preview());
    beginWith(CATALOGUE[0]!.recipe);
    panel = await mount('lw-lines');
  });

  it('shows each master with its line, the reason and the numbers', async () => {
    equal(
      (await spoken('combobox')).map(({ name, value }) => `${name} = ${value}`),
      ['Line: field-S.fits = S', 'Line: field-H.fits = not used'],
    );
    const text = find(panel, 'lw-line').shadowRoot!.textContent!;
    for (const part of ['by its header: FILTER = S', '60 × 40', '5.0 h', '100.1', '9.877'])
      ok(text.includes(part), part);
    await clean(panel);
  });

  it('tells the histogram in a sentence', async () => {
    // black = 100 − 20, white = 100 + 900.
    equal(await names('image', 'img'), ['image Values of S: black at 80, white at 1000, curve midpoint']);
  });

  it('draws histogram and curve', () => {
    const canvas = find<HTMLCanvasElement>(panel, 'lw-line', 'lw-histogram', 'canvas');
    const { data } = canvas.getContext('2d')!.getImageData(0, 0, canvas.width, canvas.height);
    const tones = new Set<number>();
    for (let i = 0; i < data.length; i += 4) if (data[i + 3] === 255) tones.add(data[i]!);
    ok(tones.size >= 2, 'at least two tones are drawn');
  });

  it('sets where the sky of a line is shown', async () => {
    const field = (await spoken('spinbutton'))[0]!;
    equal([field.name, field.value], ['Sky of S shown at', 0.12]);
    const input = find<HTMLInputElement>(panel, 'lw-line', 'lw-number', 'input');
    input.dispatchEvent(new KeyboardEvent('keydown', { key: 'ArrowUp' }));
    equal($recipe.get().stretch, { S: { background: 0.13 } });
  });

  it('gives a line to one master at a time', async () => {
    const second = panel.shadowRoot!.querySelectorAll('lw-line')[1]!;
    const select = find<HTMLSelectElement>(second, 'select');
    select.value = 'S';
    select.dispatchEvent(new Event('change'));
    equal(
      $masters.get().map(({ line, reason }) => [line, reason.kind]),
      [
        ['', 'taken'],
        ['S', 'chosen'],
      ],
    );
  });

  it('shows what is under way, with a way to stop it', async () => {
    let stopped = false;
    $opening.set({
      words: 'Measuring',
      done: 0.4,
      cancel: () => {
        stopped = true;
      },
    });
    await settled(panel);
    const [bar] = await spoken('progressbar');
    equal([bar!.name, bar!.value], ['Measuring', 0.4]);
    find<HTMLButtonElement>(panel, '.work button').click();
    ok(stopped, 'the work is stopped');
    await clean(panel);
  });
});

describe('very large masters', () => {
  it('are told what becomes of them before they are read', async () => {
    $messages.set([]);
    const from = new Blob();
    Object.defineProperty(from, 'size', { value: 1.26e9 });
    await openMasters([{ name: 'large.fits', from }]);
    equal($messages.get()[0]!.words.startsWith('These masters have 1.3 GB.'), true);
    $messages.set([]);
    await openMasters([{ name: 'small.fits', from: new Blob() }]);
    equal($messages.get(), []);
  });
});

describe('opening', () => {
  const opens: { name: string }[] = [];
  beforeEach(() => {
    opens.length = 0;
    $messages.set([]);
    useEngine({
      async call(name: string, argument: { name: string }) {
        if (name !== 'open') throw new LinewashError({ tag: 'cancelled', message: 'not asked for here' });
        opens.push(argument);
        throw new LinewashError({
          tag: 'format',
          message: 'the file is empty',
          file: argument.name,
          advice: 'copy it',
        });
      },
      fail() {},
    } as never);
  });

  it('names every file that cannot be opened, and says once what helps', async () => {
    await openMasters(['a.fits', 'b.fits'].map((name) => ({ name, from: new Blob() })));
    equal(
      $messages.get().map(({ words, advice }) => [words, advice]),
      [['a.fits: the file is empty\nb.fits: the file is empty', 'copy it']],
    );
    const element = await mount('lw-messages');
    ok(find(element, '.fault p').getBoundingClientRect().height > 30, 'each on a line of its own');
  });

  it('forgets the numbers of masters that others took the place of, under the same names too', async () => {
    let answers = 0;
    useEngine({
      call: (name: string, { lines }: { lines: object }) =>
        name === 'measure' && answers++ === 0
          ? Promise.resolve(Object.keys(lines).map(lineReport))
          : new Promise(() => {}),
      fail() {},
    } as never);
    $masters.set([]);
    $masters.set([master('H')]);
    await until(() => $reports.get().H !== undefined);
    // A further night joins the first: its numbers stay until those of both are there.
    $masters.set([master('H'), master('H', { id: 'night' })]);
    equal(Object.keys($reports.get()), ['H']);
    $masters.set([master('H', { id: 'other' })]);
    equal($reports.get(), {});
  });

  it('offers the other pages of a file, until they are open', async () => {
    const one = master('H', { others: ['[1]', '[2]'] });
    $masters.set([one]);
    const card = await mount('lw-line', { master: one } as object);
    const button = () => [...card.shadowRoot!.querySelectorAll('button')].find((b) => b.textContent!.includes('other'));
    equal(button()!.textContent!.trim(), 'Open its other 2 pages');
    await clean(card);
    button()!.click();
    await until(() => opens.length === 2);
    equal(
      opens.map(({ name }) => name),
      ['field-H.fits[1]', 'field-H.fits[2]'],
    );
    $masters.set([one, ...one.others!.map((other) => master('', { id: other, file: one.file + other }))]);
    await settled(card);
    equal(button(), undefined);
  });

  it('breaks long file names between their words', async () => {
    const file = `${'word_'.repeat(12)}end.fits`;
    const card = await mount('lw-line', { master: master('H', { file }) } as object);
    card.style.width = '210px';
    const name = find(card, '.file');
    equal(name.textContent, file);
    const range = document.createRange();
    const texts = [...name.childNodes].filter((node) => node.nodeType === Node.TEXT_NODE && node.textContent !== '');
    ok(texts.length > 10, 'its words');
    for (const text of texts) {
      range.selectNodeContents(text);
      equal(range.getClientRects().length, 1, text.textContent!);
    }
  });
});

describe('lw-save', () => {
  it('offers formats, says the size, and shows progress with a way to cancel', async () => {
    $picture.set({ ...preview(), full: { width: 6000, height: 4000 } });
    $saving.set(undefined);
    const panel = await mount('lw-save');
    const [choice] = await spoken('combobox');
    equal([choice!.name, choice!.value], ['As', 'TIFF, 16 bits']);
    // 24 million pixels of three 16-bit samples.
    ok(panel.shadowRoot!.textContent!.includes('6000 × 4000 pixels, 144 MB'), 'the size of the file');
    await clean(panel);
    let cancelled = false;
    $saving.set({
      file: 'Ember.tif',
      done: 0.5,
      cancel: () => {
        cancelled = true;
      },
    });
    await settled(panel);
    const [bar] = await spoken('progressbar');
    equal([bar!.name, bar!.value], ['Saving Ember.tif', 0.5]);
    find<HTMLButtonElement>(panel, '.work button').click();
    ok(cancelled, 'saving is cancelled');
    await clean(panel);
    $saving.set(undefined);
  });
});

describe('lw-messages', () => {
  it('speaks faults at once and notes in turn, both as plain text', async () => {
    $messages.set([]);
    const element = await mount('lw-messages');
    report(
      'open',
      new LinewashError({ tag: 'format', file: '<b>x</b>.fits', message: 'is cut', advice: 'copy it again' }),
    );
    say({ topic: 'save', kind: 'note', words: 'saved' });
    await settled(element);
    equal(find(element, '[role=alert] p').textContent, '<b>x</b>.fits: is cut');
    equal(find(element, '[role=alert] .advice').textContent, 'copy it again');
    equal(find(element, '[role=status] p').textContent, 'saved');
    equal(element.shadowRoot!.querySelectorAll('b').length, 0);
    await clean(element);
    find<HTMLButtonElement>(element, '[role=alert] button').click();
    equal(
      $messages.get().map(({ topic }) => topic),
      ['save'],
    );
  });

  it('says nothing where the user cancelled', () => {
    $messages.set([]);
    report('open', new LinewashError({ tag: 'cancelled', message: 'cancelled' }));
    equal($messages.get(), []);
  });
});

describe('lw-surround', () => {
  it('is a group of three choices', async () => {
    const element = await mount('lw-surround');
    equal(await names('radio'), ['radio light', 'radio dark', 'radio night']);
    equal((await names('group'))[0], 'group Surround');
    find<HTMLInputElement>(element, 'label:nth-of-type(3) input').click();
    equal([$surround.get(), document.documentElement.dataset.surround], ['night', 'night']);
    await settled(element);
    await clean(element);
    find<HTMLInputElement>(element, 'label:nth-of-type(2) input').click();
  });
});
