import '../../playground/elements/own-stars/own-stars.ts';
import '../../playground/elements/picture/picture.ts';
import type { LitElement } from 'lit';
import { LinewashError } from '../../lib/plane/errors.ts';
import { parseRecipe } from '../../lib/recipe/written/parse.ts';
import type { WrittenRecipe } from '../../lib/recipe/written/schema.ts';
import type { Preview } from '../../lib/web/preview.ts';
import type { ListedStars } from '../../lib/web/star-list.ts';
import { ownStarsOf, withStarsOf } from '../../playground/model/own-stars.ts';
import { starsInView } from '../../playground/model/rings.ts';
import { $alone, $aloneLayers } from '../../playground/state/alone.ts';
import { $against, $others } from '../../playground/state/compare.ts';
import { useEngine } from '../../playground/state/engine.ts';
import { $history, undoChange } from '../../playground/state/history.ts';
import { $masters } from '../../playground/state/masters.ts';
import { $busy, $picture } from '../../playground/state/picture.ts';
import { $recipe, beginWith, changeRecipe } from '../../playground/state/recipe.ts';
import { $ringsShown } from '../../playground/state/rings.ts';
import { $stars, layStars } from '../../playground/state/stars.ts';
import { $tools } from '../../playground/state/tools.ts';
import { listedStars } from '../../playground/story/examples.ts';
import { equal, ok } from './assert.ts';
import { clean, find, master, mount, names, preview, settled, spoken, until } from './support.ts';

interface Question {
  readonly recipe: WrittenRecipe;
  readonly stars?: boolean;
  readonly mask?: boolean;
}

const recipe: WrittenRecipe = {
  matrix: [
    [1, 0, 0],
    [0, 1, 0],
    [0, 0, 1],
  ],
};

/** What the worker was asked, and what it waits for before it finds stars. */
const asked: (Question & { readonly name: string })[] = [];
let found = 1031;
let finding: Promise<void> | undefined;

/** What the worker answers: where the recipe changes stars, with how many there are. */
const answer = (given: WrittenRecipe): Preview => {
  const made = preview();
  const { neutral, size } = ownStarsOf(given);
  const plain = { ...made.plain, stars: given.stars } as Preview['plain'];
  if ((neutral === 0 && size === 1) || found === 0) return { ...made, plain };
  const ownStars = { neutral, size, tint: [1, 1, 1] as const, radius: 64, count: found, hash: 'of these' };
  return { ...made, plain, settled: { ...made.settled, ownStars } };
};

const file = (name: string) => new File([new Uint8Array(8)], name);

describe('lw-own-stars', () => {
  let panel: LitElement;
  const field = (label: string) => find<HTMLInputElement>(panel, `input[aria-label="${label}"]`);
  const slide = async (label: string, to: number) => {
    field(label).value = String(to);
    field(label).dispatchEvent(new Event('input'));
    await until(() => !$busy.get());
    await settled(panel);
  };
  const words = () => panel.shadowRoot!.textContent!.replaceAll(/\s+/g, ' ');
  const button = (label: string) =>
    [...panel.shadowRoot!.querySelectorAll('button')].find((one) => one.textContent!.trim() === label)!;
  beforeEach(async () => {
    asked.length = 0;
    found = 1031;
    finding = undefined;
    useEngine({
      call: (async (name: string, question: Question, { signal }: { signal?: AbortSignal } = {}) => {
        asked.push({ ...question, name });
        if (name === 'stars') return listedStars();
        if (name === 'openStars') return { width: 60, height: 40, warnings: [] };
        if (name !== 'preview') throw new LinewashError({ tag: 'cancelled', message: 'not asked here' });
        if (question.recipe.stars?.from === 'masters') await finding;
        if (signal?.aborted) throw new LinewashError({ tag: 'cancelled', message: 'stopped' });
        return answer(question.recipe);
      }) as never,
      fail() {},
    });
    $tools.set([]);
    $alone.set(undefined);
    $ringsShown.set(false);
    $stars.set(undefined);
    $masters.set(['S', 'H', 'O'].map((line) => master(line)));
    beginWith(recipe);
    panel = await mount('lw-own-stars');
    await until(() => $picture.get() !== undefined && !$busy.get());
    await settled(panel);
  });
  afterEach(() => {
    $tools.set([]);
    $alone.set(undefined);
    $ringsShown.set(false);
    $stars.set(undefined);
  });

  it('is two sliders and two looks while stars are as they are', async () => {
    equal(await names('slider', 'spinbutton', 'button'), [
      'slider Neutral',
      'slider Size',
      'button Rings',
      'button Mask',
      'spinbutton Neutral',
      'spinbutton Size',
    ]);
    equal(
      (await spoken('slider')).map(({ value }) => value),
      [0, 1],
    );
    await clean(panel);
  });

  it('writes the recipe as named steps, and leaves no trace of stars that are as they are', async () => {
    await slide('Neutral', 0.4);
    await slide('Neutral', 0.8);
    equal($recipe.get().stars, { from: 'masters', neutral: 0.8 });
    equal($history.get().present.label, 'neutral stars');
    await slide('Size', 0.5);
    equal($recipe.get().stars, { from: 'masters', neutral: 0.8, size: 0.5 });
    equal($history.get().present.label, 'size of stars');
    undoChange();
    equal($recipe.get().stars, { from: 'masters', neutral: 0.8 });
    undoChange();
    equal($recipe.get(), recipe);
    await slide('Size', 0);
    equal($recipe.get().stars, { from: 'masters', neutral: 0, size: 0 });
    await slide('Size', 1);
    equal($recipe.get(), recipe);
  });

  it('gives neutral stars a colour, and white again', async () => {
    await slide('Neutral', 1);
    const colour = find<HTMLInputElement>(panel, 'input[type=color]');
    equal([colour.value, button('White').disabled], ['#ffffff', true]);
    colour.value = '#ffcc80';
    colour.dispatchEvent(new Event('input'));
    equal($recipe.get().stars, { from: 'masters', neutral: 1, tint: '#ffcc80' });
    equal($history.get().present.label, 'colour of stars');
    await settled(panel);
    await clean(panel);
    button('White').click();
    equal($recipe.get().stars, { from: 'masters', neutral: 1 });
    // Linear light in the recipe, as display values in the field: 0.2159 is half way.
    changeRecipe({ ...recipe, stars: { from: 'masters', tint: [1, 0.21586, 0] } }, 'a tint');
    await settled(panel);
    equal(colour.value, '#ff8000');
  });

  it('says how many were found, in which lines, and their shape by line', async () => {
    await slide('Neutral', 1);
    await until(() => panel.shadowRoot!.querySelector('table') !== null);
    ok(words().includes('1,031 stars found in S, H and O.'), words());
    equal(
      [...panel.shadowRoot!.querySelectorAll('tbody tr')].map((row) => row.textContent!.trim().split(/\s+/).join(' ')),
      ['S 2.40 px 0.00', 'H 2.53 px 0.12 at −31°'],
    );
    equal(asked.filter(({ name }) => name === 'stars').length, 1);
    await slide('Neutral', 0.7);
    await slide('Size', 0.7);
    equal(asked.filter(({ name }) => name === 'stars').length, 1, 'sliders ask nothing of the list');
    await clean(panel);
    found = 0;
    await slide('Neutral', 0.3);
    ok(words().includes('No stars are found in these masters.'), words());
  });

  it('says that it works while stars are found, and ends that when asked', async () => {
    let go = (): void => {};
    finding = new Promise((resolve) => {
      go = resolve;
    });
    field('Neutral').value = '1';
    field('Neutral').dispatchEvent(new Event('input'));
    await until(() => $busy.get());
    await settled(panel);
    ok(words().includes('Finding the stars in the masters…'), words());
    await clean(panel);
    button('Leave them as they are').click();
    equal($recipe.get(), recipe);
    go();
    await until(() => !$busy.get());
    await settled(panel);
    ok(!words().includes('Finding'), words());
    equal($picture.get()!.settled.ownStars, undefined);
    // What was found in vain is never shown: the call was stopped.
    equal(asked.filter(({ name }) => name === 'preview').at(-1)!.recipe.stars, undefined);
  });

  it('rings stars over the picture, most prominent first, also where they are as they are', async () => {
    const picture = document.createElement('lw-picture') as LitElement;
    panel.parentElement!.append(picture);
    await settled(picture);
    button('Rings').click();
    await until(() => words().includes('Rings mark 2 stars in view.'));
    equal($recipe.get(), recipe);
    await settled(picture);
    const canvas = find<HTMLCanvasElement>(picture, 'lw-rings-over', 'canvas');
    const { data } = canvas.getContext('2d')!.getImageData(0, 0, canvas.width, canvas.height);
    ok(
      data.some((value, i) => i % 4 === 0 && value > 200),
      'rings are drawn',
    );
    equal(button('Rings').getAttribute('aria-pressed'), 'true');
    await clean(panel);
    button('Rings').click();
    await settled(picture);
    equal(picture.shadowRoot!.querySelector('lw-rings-over'), null);
  });

  it('rings no more than so many of those in the open part of the view', () => {
    const list: ListedStars = {
      ...listedStars(),
      count: 5,
      x: Float32Array.of(1, 20, 30, 40, 59),
      y: Float32Array.of(1, 20, 20, 20, 39),
      snr: Float32Array.of(50, 40, 30, 20, 10),
    };
    const camera = { x: 30, y: 20, scale: 1 };
    const seen = { view: { width: 60, height: 40 }, camera, open: { x: 10, y: 0, width: 50, height: 40 } };
    equal(starsInView(list, seen), { ringed: [1, 2, 3, 4], inView: 4 });
    equal(starsInView(list, seen, 2), { ringed: [1, 2], inView: 4 });
  });

  it('shows the mask in the place of the mix', async () => {
    const picture = document.createElement('lw-picture') as LitElement;
    panel.parentElement!.append(picture);
    await settled(picture);
    button('Mask').click();
    await until(() => $aloneLayers.get().length > 0);
    equal(asked.at(-1)!.mask, true);
    const note = picture.shadowRoot!.querySelector('lw-alone') as LitElement;
    await settled(note);
    ok(note.shadowRoot!.textContent!.includes('white is all star'), note.shadowRoot!.textContent!);
    await settled(panel);
    equal(button('Mask').getAttribute('aria-pressed'), 'true');
    button('Mask').click();
    equal($alone.get(), undefined);
  });

  it('sets the mix against itself with stars as they are, up to the edge of comparing', async () => {
    await slide('Size', 0.2);
    const picture = document.createElement('lw-picture') as LitElement;
    panel.parentElement!.append(picture);
    await settled(picture);
    button('Before and after').click();
    equal($tools.get(), ['compare']);
    await until(() => $others.get()[0]!.length > 0);
    equal(
      $against.get().map(({ recipe: other, label }) => [other.stars, label]),
      [[undefined, 'stars as they are']],
    );
    await settled(panel);
    equal(button('Before and after').getAttribute('aria-pressed'), 'true');
    button('Before and after').click();
    equal($tools.get(), []);
  });

  it('lets a picture of the stars wait while the masters give them, and gives way to the next one', async () => {
    await layStars([file('stars.tif')]);
    await slide('Neutral', 1);
    equal(asked.filter(({ name }) => name === 'preview').at(-1)!.stars, false);
    find<HTMLDetailsElement>(panel, 'details').open = true;
    await until(() => panel.shadowRoot!.querySelector('lw-stars') !== null);
    const other = find<LitElement>(panel, 'lw-stars');
    await settled(other);
    ok(other.shadowRoot!.textContent!.includes('The picture is open but not laid over'), 'it is said');
    await clean(panel);
    [...other.shadowRoot!.querySelectorAll('button')].at(-1)!.click();
    equal($recipe.get(), recipe);
    await until(() => !$busy.get());
    equal(asked.filter(({ name }) => name === 'preview').at(-1)!.stars, true);
    await slide('Size', 0.5);
    await layStars([file('others.tif')]);
    equal($recipe.get(), recipe);
    equal($history.get().present.label, 'picture of the stars');
  });

  it('writes recipes that are accepted, whatever is chosen after what', () => {
    let now: WrittenRecipe = { ...recipe, stars: { strength: 0.4, stretch: { curve: 'asinh' } } };
    const parts = [{ size: 0.3 }, { tint: 'gold' }, { neutral: 0 }, { neutral: 0.7 }, { size: 0, tint: undefined }];
    for (const part of [...parts, { neutral: 0, size: 1 }]) {
      now = withStarsOf(now, part);
      equal(parseRecipe(JSON.stringify(now)), now);
    }
    equal(now, recipe);
    const wide: WrittenRecipe = { ...recipe, stars: { from: 'masters', radius: 20 } };
    equal(withStarsOf(wide, { size: 0.5 }).stars, { from: 'masters', neutral: 1, size: 0.5, radius: 20 });
  });
});
