import '../../playground/elements/hours/hours.ts';
import type { LitElement } from 'lit';
import { CATALOGUE } from '../../lib/palettes/catalogue.ts';
import { LinewashError } from '../../lib/plane/errors.ts';
import type { HoursQuestion } from '../../lib/web/hours.ts';
import { $chosen } from '../../playground/state/chosen.ts';
import { AFTER_HOURS } from '../../playground/state/compare.ts';
import { useEngine } from '../../playground/state/engine.ts';
import { $history, redoChange, undoChange } from '../../playground/state/history.ts';
import {
  $answer,
  $looking,
  $plan,
  $until,
  changePlan,
  setCap,
  setMore,
  setNights,
  setSpent,
} from '../../playground/state/hours.ts';
import { $later } from '../../playground/state/later.ts';
import { $masters } from '../../playground/state/masters.ts';
import { $messages } from '../../playground/state/messages.ts';
import { $picture } from '../../playground/state/picture.ts';
import { beginWith, changeRecipe } from '../../playground/state/recipe.ts';
import { $tools } from '../../playground/state/tools.ts';
import { answer, answerWithBox, pictures } from '../../playground/story/example-hours.ts';
import { equal, ok } from './assert.ts';
import { clean, find, master, mount, names, press, preview, settled, spoken, until } from './support.ts';

const pause = (ms = 0) => new Promise((resolve) => setTimeout(resolve, ms));
const questions: HoursQuestion[] = [];
const outlooks: { added: unknown; part: unknown }[] = [];
/** What the worker would answer: round numbers, and the hours that were typed in. */
const answerTo = async ({ time = {} }: HoursQuestion): Promise<unknown> => {
  const plain = answer();
  const given = plain.exposures.map((e) =>
    e.name in time ? { ...e, hours: time[e.name], from: 'given' as const } : e,
  );
  return { ...plain, exposures: given };
};
let reply = answerTo;

const asked = async (name: string, argument: never): Promise<never> => {
  if (name === 'hours') {
    questions.push(argument);
    return (await reply(argument)) as never;
  }
  if (name !== 'outlook') throw new LinewashError({ tag: 'cancelled', message: 'not asked for here' });
  outlooks.push(argument);
  return pictures() as never;
};

describe('lw-hours', () => {
  let panel: LitElement;
  const text = () => panel.shadowRoot!.textContent!.replace(/\s+/g, ' ');
  const split = () =>
    [...find(panel, 'lw-hours-split').shadowRoot!.querySelectorAll('tbody tr')].map((row) =>
      [...row.querySelectorAll('td')].slice(1).map((cell) => cell.textContent!.trim().replace(/\s+/g, ' ')),
    );
  before(() => {
    useEngine({ call: asked as never, fail() {} });
  });
  beforeEach(async () => {
    reply = answerTo;
    $messages.set([]);
    $picture.set(preview());
    beginWith(CATALOGUE[0]!.recipe);
    $masters.set(['S', 'H', 'O'].map((line) => master(line)));
    panel = await mount('lw-hours');
    await pause(5);
    await settled(panel);
    questions.length = 0;
    outlooks.length = 0;
  });

  it('has the noise, the hours to come and their best split, each under its heading', async () => {
    equal(await names('heading'), ['heading Noise', 'heading Hours to come', 'heading Best split']);
    equal(split(), [
      ['−1.8 %', '+2 h 18 × 400 s'],
      ['−0.16 %', '–'],
      ['−6.3 %', '+8 h 72 × 400 s'],
    ]);
    equal(text().split('estimates').length, 2, 'the caution stands once');
    await clean(panel);
  });

  it('tells the curves in a sentence and draws them', async () => {
    equal(await names('image', 'img'), [
      'image Noise of luminance against hours added; 100 % is now. ' +
        'After 30 h: to S alone 90 %, to H alone 99 %, to O alone 60 %, to the best split 50 %.',
    ]);
    const canvas = find<HTMLCanvasElement>(panel, 'lw-hours-curve', 'canvas');
    const { data } = canvas.getContext('2d')!.getImageData(0, 0, canvas.width, canvas.height);
    const tones = new Set<number>();
    for (let i = 0; i < data.length; i += 4) {
      if (data[i + 3] !== 255) continue;
      ok(data[i] === data[i + 1] && data[i] === data[i + 2], 'greys alone');
      tones.add(data[i]!);
    }
    ok(tones.size >= 2, 'at least two tones are drawn');
  });

  it('says what the hours bring, and what equal shares would', async () => {
    const words =
      '10 h in the best split lower the noise of luminance by 30 %; in equal shares by 22 %. ' +
      'After 9.8 h (the bar), one more takes less than 2 % of the noise.';
    equal(find(panel, 'lw-hours-curve', 'output').textContent!.replace(/\s+/g, ' '), words);
    ok((await names('status')).length > 0, 'and says so aloud');
  });

  it('asks anew when the slider moves, by keys too', async () => {
    const [slider] = await spoken('slider');
    equal([slider!.name, slider!.value, slider!.valuemax], ['Hours to come', 10, $until.get()]);
    equal(slider!.valuetext, '10 h more');
    find<HTMLInputElement>(panel, 'lw-hours-curve', 'input').focus();
    await press('ArrowRight');
    equal($plan.get().more, 10.5);
    await pause(5);
    equal(questions.at(-1)!.more, 10.5);
  });

  it('asks at once with the latest of many changes, never with two at a time', async () => {
    let free = () => {};
    reply = () =>
      new Promise((resolve) => {
        free = () => resolve(answer());
      });
    for (const hours of [11, 12, 13, 14]) setMore(hours);
    await pause(5);
    equal(
      questions.map(({ more }) => more),
      [11],
    );
    free();
    await pause(5);
    equal(
      questions.map(({ more }) => more),
      [11, 14],
    );
    free();
  });

  it('takes hours beyond the axis where they are typed, and the axis follows', async () => {
    const number = find(panel, 'lw-hours-curve', 'lw-number');
    number.dispatchEvent(new CustomEvent('lw-number', { detail: 75 }));
    equal([$plan.get().more, $until.get()], [75, 100]);
    number.dispatchEvent(new CustomEvent('lw-number', { detail: 5 }));
    equal([$plan.get().more, $until.get()], [5, 100]);
  });

  it('offers three goals', async () => {
    equal(await names('radio'), ['radio luminance', 'radio colour', 'radio SNR']);
    find<HTMLInputElement>(panel, 'label:nth-of-type(2) input').click();
    await pause(5);
    equal([$plan.get().goal, questions.at(-1)!.goal], ['colour', 'colour']);
  });

  it('plans for the SNR of a feature, and says how to mark one', async () => {
    find<HTMLInputElement>(panel, 'label:nth-of-type(3) input').click();
    await pause(5);
    await settled(panel);
    ok(text().includes('Draw a box around the feature'), text());
    ok((await names('button')).includes('button Mark the feature'), 'the way to mark it');
    await clean(panel);
    changePlan({ feature: { x: 1, y: 2, width: 30, height: 20 } }, 'box');
    reply = async () => {
      const plain = answerWithBox();
      const advice = { ...plain.plan!.advice, goal: 'snr' as const };
      return { ...plain, plan: { ...plain.plan!, advice } };
    };
    const field = (await spoken('spinbutton')).find(({ name }) => name === 'SNR of the feature to reach')!;
    equal(field.value, 5);
    find(panel, 'fieldset lw-number').dispatchEvent(new CustomEvent('lw-number', { detail: 6 }));
    await pause(5);
    await settled(panel);
    equal([questions.at(-1)!.goal, questions.at(-1)!.snr], ['snr', 6]);
    ok(text().includes('10 h more bring the feature to SNR 6 a pixel.'), text());
    const fault = { words: 'an SNR of 6 in luminance cannot be reached in this box' };
    $answer.set({ ...answerWithBox(), plan: { ...answerWithBox().plan!, fault } });
    await settled(panel);
    ok(text().includes(fault.words), text());
    await clean(panel);
  });

  it('splits nights, with what a change of line costs and the most that lines may get', async () => {
    find<HTMLElement>(panel, '.limits summary').click();
    await settled(panel);
    const fields = async () =>
      (await spoken('spinbutton'))
        .map(({ name, value }) => `${name} ${value}`)
        .filter((name) => !name.includes('so far'));
    equal(await fields(), [
      'Hours to come, typed 10',
      'Nights to come 1',
      'Hours a night 10',
      'Minutes lost for each line, every night 0',
    ]);
    const limits = find(panel, 'lw-hours-limits');
    const set = (index: number, detail: number) =>
      limits.shadowRoot!.querySelectorAll('lw-number')[index]!.dispatchEvent(new CustomEvent('lw-number', { detail }));
    set(0, 3);
    equal([$plan.get().nights, $plan.get().more], [3, 30]);
    set(1, 6);
    equal($plan.get().more, 18);
    set(2, 5);
    find<HTMLInputElement>(limits, 'input[type=checkbox]').click();
    await pause(5);
    await settled(panel);
    const { more, nights, change, caps } = questions.at(-1)!;
    // 6 h of S so far and half of what is to come.
    equal({ more, nights, change, caps }, { more: 18, nights: 3, change: 5, caps: { S: 15 } });
    equal(
      (await spoken('checkbox')).map(({ name, checked }) => `${name} ${checked}`),
      ['S at most true', 'H at most false', 'O at most false'],
    );
    ok((await fields()).includes('Most hours of S 15'), 'the most of S');
    await clean(panel);
    const night = (date: string, line: string) => ({
      date,
      dark: 6,
      used: 6,
      blocks: [{ target: '', line, hours: 6, subs: 54, clock: 6 }],
    });
    const plain = answer();
    $answer.set({ ...plain, plan: { ...plain.plan!, nights: [night('1', 'O'), night('2', 'O'), night('3', 'S')] } });
    await settled(panel);
    const told = [...find(panel, 'lw-hours-split').shadowRoot!.querySelectorAll('.nights div')];
    equal(
      told.map((row) => [...row.children].map((part) => part.textContent)),
      [
        ['Nights 1 to 2', 'O 6 h (54 subs)'],
        ['Night 3', 'S 6 h (54 subs)'],
      ],
    );
    await clean(panel);
  });

  it('takes all of it back step by step', async () => {
    setSpent('O', 7.5);
    setCap('S', 20);
    setNights(2);
    equal($history.get().present.label, 'nights');
    undoChange();
    equal([$plan.get().nights, $plan.get().more], [1, 10]);
    undoChange();
    equal($plan.get().caps, {});
    undoChange();
    equal($plan.get().typed, {});
    redoChange();
    equal($plan.get().typed, { 'field-O.fits': 7.5 });
  });

  it('takes hours so far that are typed in, with decimal point or comma, and goes back to the header', async () => {
    const fields = (await spoken('spinbutton')).filter(({ name }) => name.endsWith('so far'));
    equal(
      fields.map(({ name, value }) => `${name} ${value}`),
      ['Hours of S so far 6', 'Hours of H so far 4', 'Hours of O so far 5'],
    );
    const input = find<HTMLInputElement>(panel, 'lw-hours-split', 'tr:nth-child(3) lw-number', 'input');
    input.value = '7,5';
    input.dispatchEvent(new InputEvent('input'));
    await pause(5);
    equal(questions.at(-1)!.time, { O: 7.5 });
    input.value = '1,250';
    input.dispatchEvent(new InputEvent('input'));
    equal($plan.get().typed, { 'field-O.fits': 7.5 }, 'a text that could be two numbers changes nothing');
    input.value = '8';
    input.dispatchEvent(new InputEvent('input'));
    input.dispatchEvent(new FocusEvent('blur'));
    await pause(5);
    await settled(panel);
    await clean(panel);
    ok(
      (await spoken('button')).some(({ name }) => name === 'header: 5 h'),
      'the hours of the header',
    );
    find<HTMLButtonElement>(panel, 'lw-hours-split', 'tr:nth-child(3) button').click();
    await pause(5);
    equal([$plan.get().typed, questions.at(-1)!.time], [{}, {}]);
  });

  it('asks for hours that no header tells, and shows the ledger meanwhile', async () => {
    const { plan: _, ...rest } = answer();
    const exposures = rest.exposures.map((e) => (e.name === 'S' ? { ...e, hours: undefined, from: undefined } : e));
    $masters.set(['S', 'H', 'O'].map((line) => master(line, line === 'S' ? { facts: { from: {} } } : {})));
    reply = async () => ({ ...rest, exposures });
    setMore(9);
    await pause(10);
    await settled(panel);
    const words = find(panel, 'lw-hours-split').shadowRoot!.textContent!;
    ok(words.includes('How long S was exposed is not known'), words);
    ok(words.includes('not in its header'), words);
    equal(find(panel, 'lw-ledger').shadowRoot!.querySelectorAll('tbody tr').length, 5);
    equal(panel.shadowRoot!.querySelector('lw-hours-curve'), null);
    await clean(panel);
  });

  it('says how long it takes until a marked box stands out', async () => {
    $answer.set(answerWithBox());
    await settled(panel);
    equal(
      [...find(panel, 'lw-hours-split').shadowRoot!.querySelectorAll('.steps li')].map((item) => item.textContent),
      ['to SNR 3: reached', 'to SNR 5: 6 h', 'to SNR 10: out of reach'],
    );
  });

  it('shows what hours are worth in pixels to those who ask, called an estimate', async () => {
    equal(outlooks.length, 0);
    const details = find<HTMLDetailsElement>(panel, 'details:not(.limits)');
    ok(details.textContent!.includes('What 10 h more are worth in pixels (an estimate)'), details.textContent!);
    find(panel, 'details:not(.limits) summary').dispatchEvent(new MouseEvent('click', { bubbles: true }));
    await until(() => outlooks.length > 0);
    await settled(panel);
    equal(outlooks[0]!.added, { S: 2, H: 0, O: 8 });
    equal(outlooks[0]!.part, { x: 0, y: 0, width: 60, height: 40 });
    const level = (kind: string) =>
      find<HTMLCanvasElement>(panel, 'lw-outlook', `canvas.${kind}`).getContext('2d')!.getImageData(9, 9, 1, 1).data[0];
    equal(['back', 'now', 'smooth'].map(level), [50, 100, 150]);
    // 6 h before 2 h more: 6 · 6/8 = 4.5; 5 · 5/13 = 1.9.
    ok(find(panel, 'lw-outlook').shadowRoot!.textContent!.includes('S 4.5 h, O 1.9 h'), 'hours of the step ago');
    equal((await names('figure')).length, 3);
    await clean(panel);
  });

  it('sets the mix against itself after these hours, and ends that again', async () => {
    const button = () =>
      [...panel.shadowRoot!.querySelectorAll('button')].find(
        (one) => one.textContent!.trim() === 'Show in the picture',
      )!;
    button().click();
    equal($chosen.get(), [AFTER_HOURS]);
    const offered = $later.get()!;
    ok(offered.hours > 0 && Object.values(offered.shares).some((share) => share < 1), 'less noise is offered');
    ok($tools.get().includes('compare'), 'comparing is on');
    await settled(panel);
    equal(button().getAttribute('aria-pressed'), 'true');
    button().click();
    ok(!$tools.get().includes('compare'), 'and off again');
  });

  it('says why there is nothing to see, and how far looking has come', async () => {
    changeRecipe(
      {
        matrix: [
          [0, 0, 0],
          [0, 0, 0],
          [0, 0, 0],
        ],
      },
      'nothing',
    );
    await pause(5);
    await settled(panel);
    ok(text().includes('There is no mix yet'), text());
    $looking.set(0.4);
    await settled(panel);
    ok(text().includes('Looking at the noise: 40 %'), text());
    await clean(panel);
    $looking.set(undefined);
  });

  it('forgets an answer about other masters, and says in words what is wrong with these', async () => {
    reply = async () => {
      throw new LinewashError({ tag: 'input', message: 'there is no place with data', file: 'x.fits' });
    };
    $masters.set(['S', 'H', 'O'].map((line) => master(line, { id: `other-${line}` })));
    equal($answer.get(), undefined);
    await pause(5);
    equal(
      $messages.get().map(({ topic, words }) => [topic, words]),
      [['hours', 'x.fits: there is no place with data']],
    );
  });
});
