import '../../playground/elements/picture/picture.ts';
import '../../playground/elements/smooth/smooth.ts';
import type { LitElement } from 'lit';
import { LinewashError } from '../../lib/plane/errors.ts';
import { parseRecipe } from '../../lib/recipe/written/parse.ts';
import type { WrittenRecipe } from '../../lib/recipe/written/schema.ts';
import type { Preview } from '../../lib/web/preview.ts';
import { actByKey } from '../../playground/elements/app/act-by-key.ts';
import { keyAct } from '../../playground/model/keys.ts';
import { withGuide, withSmoothedLines, withSmoothing } from '../../playground/model/smooth-choices.ts';
import { $alone, $aloneLayers } from '../../playground/state/alone.ts';
import { $against, $others } from '../../playground/state/compare.ts';
import { useEngine } from '../../playground/state/engine.ts';
import { $history, undoChange } from '../../playground/state/history.ts';
import { $masters } from '../../playground/state/masters.ts';
import { $picture } from '../../playground/state/picture.ts';
import { $recipe, beginWith, changeRecipe } from '../../playground/state/recipe.ts';
import { $tools } from '../../playground/state/tools.ts';
import { equal, ok } from './assert.ts';
import { clean, find, master, mount, names, preview, settled, spoken, until } from './support.ts';

interface Question {
  readonly recipe: WrittenRecipe;
  readonly removed?: string;
}
const asked: Question[] = [];

const recipe: WrittenRecipe = {
  matrix: [
    [1, 0, 0],
    [0, 1, 0],
    [0, 0, 1],
  ],
};

const noise = (variance: number, neighbours: number) => ({ level: 100, variance, perCount: 0, neighbours });

/** What the worker answers: where the recipe smooths, with numbers. */
const answer = (given: WrittenRecipe): Preview => {
  const made = preview();
  const { strength, lines = ['S', 'O'], guide = 'H' } = given.smooth ?? {};
  if (!strength) return made;
  const value = typeof strength === 'number' ? strength : 0.4;
  const smooth = {
    strength: value,
    scales: 4,
    guide,
    lines,
    noise: { S: noise(9, 0), H: noise(4, 0), O: noise(2.25, 0.25) },
    frame: { width: 60, height: 40 },
  };
  const plain = { ...made.plain, smooth: { ...given.smooth, strength: value } } as Preview['plain'];
  return { ...made, plain, settled: { ...made.settled, smooth } };
};

describe('lw-smooth', () => {
  let panel: LitElement;
  const slider = () => find<HTMLInputElement>(panel, '.slider input');
  const slide = async (to: number) => {
    slider().value = String(to);
    slider().dispatchEvent(new Event('input'));
    await until(() => ($picture.get()?.settled.smooth?.strength ?? 0) === to);
    await settled(panel);
  };
  beforeEach(async () => {
    asked.length = 0;
    useEngine({
      call: (async (name: string, question: Question) => {
        if (name !== 'preview') throw new LinewashError({ tag: 'cancelled', message: 'not asked here' });
        asked.push(question);
        return answer(question.recipe);
      }) as never,
      fail() {},
    });
    $tools.set([]);
    $alone.set(undefined);
    $masters.set(['S', 'H', 'O'].map((line) => master(line)));
    beginWith(recipe);
    panel = await mount('lw-smooth');
    await until(() => $picture.get() !== undefined);
    await settled(panel);
  });
  afterEach(() => {
    $tools.set([]);
    $alone.set(undefined);
  });

  it('is one slider until something is smoothed', async () => {
    equal(await names('slider', 'spinbutton', 'button'), ['slider Smooth', 'spinbutton Smooth']);
    await clean(panel);
  });

  it('sets the strength as one step with a name, which can be taken back without a trace', async () => {
    await slide(0.5);
    await slide(0.8);
    equal($recipe.get().smooth, { strength: 0.8 });
    equal($history.get().present.label, 'smoothing');
    equal(
      (await spoken('slider', 'spinbutton')).map(({ value }) => value),
      [0.8, 0.8],
    );
    undoChange();
    equal($recipe.get(), recipe);
    await slide(0.3);
    await slide(0);
    equal($recipe.get(), recipe);
  });

  it('says what is smoothed, the noise that was found, and what is left of it', async () => {
    await slide(0.8);
    const words = panel.shadowRoot!.textContent!.replaceAll(/\s+/g, ' ');
    ok(words.includes('S and O are smoothed, guided by H.'), words);
    ok(words.includes('Noise of S: σ 3 of the master’s units, correlation of neighbours 0.00.'), words);
    ok(words.includes('Noise of O: σ 1.5 of the master’s units, correlation of neighbours 0.25.'), words);
    ok(words.includes('Where only noise shows, 20 % of it is left in S.'), words);
    await clean(panel);
  });

  it('changes guide and lines in a disclosure, each a step', async () => {
    await slide(0.8);
    find<HTMLDetailsElement>(panel, 'details').open = true;
    await settled(panel);
    equal(await names('combobox', 'checkbox'), ['combobox Guide', 'checkbox S', 'checkbox O']);
    await clean(panel);
    const box = (at: number) => panel.shadowRoot!.querySelectorAll<HTMLInputElement>('[type=checkbox]')[at]!;
    box(0).click();
    equal($recipe.get().smooth, { strength: 0.8, lines: ['O'] });
    equal($history.get().present.label, 'lines to smooth');
    await settled(panel);
    ok(box(1).disabled, 'the last line stays');
    box(0).click();
    equal($recipe.get().smooth, { strength: 0.8 });
    const select = find<HTMLSelectElement>(panel, 'select');
    select.value = 'S';
    select.dispatchEvent(new Event('change'));
    equal($recipe.get().smooth, { strength: 0.8, guide: 'S' });
    equal($history.get().present.label, 'guide of smoothing');
    await until(() => $picture.get()?.settled.smooth?.guide === 'S');
    await settled(panel);
    equal(await names('checkbox'), ['checkbox H', 'checkbox O']);
  });

  it('writes recipes that are accepted, whatever is chosen after what', () => {
    let now = withSmoothing(recipe, 0.7);
    for (const next of [
      withSmoothedLines(now, ['S']),
      withGuide(withSmoothedLines(now, ['S', 'O']), 'S'),
      withGuide(withSmoothedLines(now, ['S']), 'S'),
      withGuide(withGuide(now, 'O'), undefined),
      withSmoothing(withGuide(now, 'O'), 0),
    ]) {
      now = next;
      parseRecipe(JSON.stringify(next));
      ok(next.smooth?.lines?.includes(next.smooth.guide ?? '') !== true, JSON.stringify(next.smooth));
    }
    equal(now.smooth, { guide: 'O' });
  });

  it('follows a knob until it is moved', async () => {
    changeRecipe({ ...recipe, knobs: { calm: { value: 0.4 } }, smooth: { strength: 'calm' } }, 'a knob');
    await until(() => $picture.get()?.settled.smooth !== undefined);
    await settled(panel);
    equal(slider().value, '0.4');
    ok(panel.shadowRoot!.textContent!.includes('Follows calm until you move the slider'), 'it is said');
    await clean(panel);
    await slide(0.6);
    equal($recipe.get().smooth!.strength, 0.6);
  });

  it('sets the mix against itself before smoothing, up to the edge of comparing', async () => {
    await slide(0.8);
    await mountBoth();
    find<HTMLButtonElement>(panel, '.buttons button').click();
    equal($tools.get(), ['compare']);
    await until(() => $others.get()[0]!.length > 0);
    equal(
      $against.get().map(({ id, recipe: other, label }) => [id, other.smooth, label]),
      [['unsmoothed', undefined, 'before smoothing']],
    );
    await settled(panel);
    equal(find(panel, '.buttons button').getAttribute('aria-pressed'), 'true');
    find<HTMLButtonElement>(panel, '.buttons button').click();
    equal($tools.get(), []);
  });

  it('shows what was removed by a key and a button, line by line, and goes back to the mix', async () => {
    await slide(0.8);
    await mountBoth();
    const act = keyAct(new KeyboardEvent('keydown', { key: 'r' }))!;
    equal(act, 'removed');
    actByKey(act);
    await until(() => $aloneLayers.get().length > 0);
    equal(asked.at(-1)!.removed, 'S');
    equal(asked.at(-1)!.recipe.smooth, { strength: 0.8 });
    const note = document.querySelector('lw-picture')!.shadowRoot!.querySelector('lw-alone') as LitElement;
    await settled(note);
    ok(note.shadowRoot!.textContent!.includes('Removed from S'), note.shadowRoot!.textContent!);
    await clean(note);
    find<HTMLButtonElement>(panel, '.buttons button:nth-child(2)').click();
    equal($alone.get()!.line, 'O');
    actByKey(act);
    equal($alone.get(), undefined);
    actByKey(act);
    // Nothing is removed from a mix that is not smoothed.
    await slide(0);
    equal($alone.get(), undefined);
    actByKey(act);
    equal($alone.get(), undefined);
  });

  /** The picture beside the panel. */
  const mountBoth = async () => {
    const picture = document.createElement('lw-picture') as LitElement;
    panel.parentElement!.append(picture);
    await settled(picture);
  };
});
