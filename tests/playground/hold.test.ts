import '../../playground/elements/hold/hold.ts';
import '../../playground/elements/probe/probe.ts';
import { setViewport } from '@web/test-runner-commands';
import type { LitElement } from 'lit';
import { LinewashError } from '../../lib/plane/errors.ts';
import type { HeldLines } from '../../lib/work/hold.ts';
import type { ProbeAnswer } from '../../lib/work/probe.ts';
import { useEngine } from '../../playground/state/engine.ts';
import { $places } from '../../playground/state/held-places.ts';
import { undoChange } from '../../playground/state/history.ts';
import { $heldMix, $solved } from '../../playground/state/hold.ts';
import { $masters } from '../../playground/state/masters.ts';
import { $messages } from '../../playground/state/messages.ts';
import { $picture } from '../../playground/state/picture.ts';
import { $held, $probe } from '../../playground/state/probe.ts';
import { $recipe, beginWith } from '../../playground/state/recipe.ts';
import { $tools } from '../../playground/state/tools.ts';
import { heldLines } from '../../playground/story/examples.ts';
import { equal, ok } from './assert.ts';
import { clean, find, master, mount, preview, settled, spoken, until } from './support.ts';

const recipe = {
  name: 'Plain',
  channels: ['S', 'H', 'O'],
  matrix: [
    [1, 0, 0],
    [0, 1, 0],
    [0, 0, 1],
  ],
};
const probed: ProbeAnswer = {
  x: 12,
  y: 7,
  space: 'srgb',
  lines: ['S', 'H', 'O'].map((name) => ({ name, value: 1000, strength: 0.4, brings: [0, 0.1, 0] as const })),
  colour: { rgb: [0.65, 0.4, 0.1], oklch: [0.6, 0.12, 55] },
  others: [],
};

interface Question {
  readonly places: readonly { readonly at: object; readonly colour: string }[];
  readonly recipe: typeof recipe;
}
/** A service that answers when it is told to. */
const questions: Question[] = [];
let fault: LinewashError | undefined;
let more: Partial<HeldLines> = {};
let gate: Promise<void> = Promise.resolve();

const solvedFor = ({ places }: Question): HeldLines => ({ ...heldLines(recipe, places.length), ...more });

describe('lw-hold', () => {
  let element: LitElement;
  const button = (name: string) =>
    [...element.shadowRoot!.querySelectorAll('button')].find(
      (b) => (b.getAttribute('aria-label') ?? b.textContent!.trim()) === name,
    )!;
  const add = () => button('Give this place a colour…');
  const apply = () => button('Apply to the weights');
  const words = () => find(element, '[role=status]').textContent!.trim();
  const type = async (selector: string, value: string) => {
    const input = find<HTMLInputElement>(element, selector);
    input.value = value;
    input.dispatchEvent(new Event('change'));
    await settled(element);
  };
  const answered = async () => {
    await until(() => $heldMix.get() !== undefined);
    await settled(element);
  };

  beforeEach(async () => {
    questions.length = 0;
    fault = undefined;
    more = {};
    gate = Promise.resolve();
    useEngine({
      call: (async (name: string, question: Question) => {
        if (name !== 'hold') throw new LinewashError({ tag: 'cancelled', message: 'not asked here' });
        questions.push(question);
        await gate;
        if (fault) throw fault;
        return solvedFor(question);
      }) as never,
      fail() {},
    });
    $messages.set([]);
    $places.set([]);
    $solved.set(undefined);
    $held.set(false);
    $masters.set([master('S'), master('H'), master('O')]);
    $picture.set(preview());
    beginWith(recipe);
    element = await mount('lw-hold');
    $probe.set(probed);
    await settled(element);
  });
  afterEach(() => $places.set([]));

  it('adds the pixel that the probe holds, with the colour that it has, and only a held one', async () => {
    ok(add().disabled, 'nothing is held');
    await clean(element);
    $held.set(true);
    await settled(element);
    add().click();
    equal($places.get(), [{ x: 12, y: 7, colour: '0.120@55' }]);
    await answered();
    equal(questions.at(-1)!.places, [{ at: { x: 12, y: 7 }, colour: '0.120@55' }]);
    equal(words(), 'Noise: 1.25 × that of before. The sky stays grey.');
    ok(find(element, 'li').textContent!.includes('reached'), 'what is left');
    equal(find<HTMLInputElement>(element, '[type=color]').value, '#007cff');
    const [field] = (await spoken('textbox')).map(({ name, value }) => [name, value]);
    equal(field, ['Colour of place 1: chroma@hue or CSS', '0.120@55']);
    await clean(element);
    add().click();
    add().click();
    await settled(element);
    equal([$places.get().length, add().disabled], [3, true], 'as many as lines');
  });

  it('takes colours typed and picked, as they are or with the brightness of the place', async () => {
    $places.set([{ x: 1, y: 2, colour: 'red' }]);
    await answered();
    await type('[type=text]', ' oklch(0.5 0.1 30)');
    equal($places.get()[0]!.colour, ' oklch(0.5 0.1 30)');
    await type('[type=color]', '#808080');
    // The grey of the picker: any hue will do.
    ok(/^0\.000@\d+$/.test($places.get()[0]!.colour), $places.get()[0]!.colour);
    // OKLCH of sRGB blue, from CSS Color 4: 0.452 0.313 264.05.
    await type('[type=color]', '#0000ff');
    equal($places.get()[0]!.colour, '0.313@264');
    find<HTMLInputElement>(element, '[type=checkbox]').click();
    await type('[type=color]', '#0000ff');
    equal($places.get()[0]!.colour, '#0000ff');
  });

  it('applies the weights as one step that can be undone', async () => {
    $places.set([{ x: 1, y: 2, colour: '0.1@235' }]);
    await answered();
    apply().click();
    equal($recipe.get().matrix, [
      [0.5, 0, 0],
      [0, 0.5, 0],
      [0, 0, 0.5],
    ]);
    await answered();
    equal(questions.at(-1)!.recipe.matrix[0], [0.5, 0, 0], 'asked anew from there');
    undoChange();
    equal($recipe.get(), recipe);
  });

  it('never applies weights that were worked out for something else', async () => {
    $places.set([{ x: 1, y: 2, colour: '0.1@235' }]);
    await answered();
    let open = () => {};
    gate = new Promise((resolve) => {
      open = resolve;
    });
    $places.set([{ x: 1, y: 2, colour: '0.1@75' }]);
    await settled(element);
    equal([apply().disabled, words()], [true, 'Working out the weights…']);
    beginWith({ ...recipe, name: 'Another' });
    open();
    await answered();
    equal([questions.at(-1)!.recipe.name, questions.at(-1)!.places[0]!.colour], ['Another', '0.1@75']);
  });

  it('says what conflicts, and what is wrong with a colour', async () => {
    $places.set([
      { x: 1, y: 2, colour: '0.1@235' },
      { x: 3, y: 4, colour: '0.1@75' },
    ]);
    await answered();
    ok(words().endsWith('place 2 misses its colour. Its light is most like that of the sky (cosine 0.9994).'), words());
    ok(find(element, 'li:nth-child(2)').textContent!.includes('misses by 0.050'), 'in its row');
    await clean(element);
    fault = new LinewashError({ tag: 'input', message: 'place 1: "reddish" is not a CSS colour' });
    await type('[type=text]', 'reddish');
    await until(() => $messages.get().length > 0);
    await settled(element);
    equal(
      $messages.get().map(({ words }) => words),
      ['place 1: “reddish” is not a CSS colour'],
    );
    equal([apply().disabled, words()], [true, '']);
    fault = undefined;
    await type('[type=text]', '0.1@20');
    await answered();
    equal($messages.get(), []);
  });

  it('tells of a weight that is large', async () => {
    more = { large: { channel: 'S', colour: 'blue', weight: -7.416 } };
    $places.set([{ x: 1, y: 2, colour: '0.1@235' }]);
    await answered();
    ok(
      words().endsWith(
        'The weight of S in blue is -7.42: errors of S such as an uneven sky show 7.4 times as strongly.',
      ),
      words(),
    );
  });

  it('leaves the picture to be seen: a row of the probe, and places beside each other', async () => {
    await setViewport({ width: 1440, height: 900 });
    const strips = document.createElement('div');
    strips.style.width = '840px';
    const probe = document.createElement('lw-probe');
    element.parentElement!.append(strips);
    strips.append(probe, element);
    $tools.set(['probe', 'hold']);
    $held.set(true);
    $places.set([1, 2, 3].map((x) => ({ x, y: 2, colour: `0.1@${60 * x}` })));
    await answered();
    await settled(probe as LitElement);
    const [one, three] = [probe.offsetHeight, element.offsetHeight];
    ok(one <= 34 && three <= 122, `${one} and ${three} pixels`);
    const tops = [...element.shadowRoot!.querySelectorAll('li')].map((li) => li.offsetTop);
    equal(new Set(tops).size, 1, 'one row');
    const [row] = [...probe.shadowRoot!.querySelectorAll('dd')].map((dd) => dd.textContent!.trim());
    equal(row, '12, 7');
    equal(probe.shadowRoot!.querySelector('table'), null);
    await clean(strips);
    // What is told changes; nothing moves.
    const at = apply().getBoundingClientRect();
    more = {
      conflicts: [
        { place: 0, like: 1, cosine: 0.9999 },
        { place: 1, like: 0, cosine: 0.9999 },
      ],
    };
    $places.set($places.get().map((place) => ({ ...place, colour: '0.2@30' })));
    await settled(element);
    equal(element.offsetHeight, three);
    await answered();
    equal([element.offsetHeight, apply().getBoundingClientRect().y], [three, at.y]);
    $tools.set([]);
    await settled(probe as LitElement);
    ok(probe.shadowRoot!.querySelector('table') !== null, 'all of it where it is alone');
    await setViewport({ width: 800, height: 600 });
  });

  it('removes places, and those that other masters do not have', async () => {
    $places.set([
      { x: 1, y: 2, colour: 'red' },
      { x: 50, y: 4, colour: 'blue' },
    ]);
    await answered();
    $picture.set(preview(40, 40));
    equal(
      $places.get().map(({ colour }) => colour),
      ['red'],
    );
    await settled(element);
    button('Remove place 1').click();
    await settled(element);
    equal($places.get(), []);
    ok(element.shadowRoot!.textContent!.includes('Hold a pixel with the probe'), 'the hint');
  });
});
