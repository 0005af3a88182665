import '../../playground/elements/recipe-choice/recipe-choice.ts';
import '../../playground/elements/save/save.ts';
import { recipeLink } from '../../lib/recipe/share/link.ts';
import type { WrittenRecipe } from '../../lib/recipe/written/schema.ts';
import { commandLine } from '../../playground/model/command-line.ts';
import { NO_PLAN } from '../../playground/model/plan.ts';
import { readCommand, shellWords } from '../../playground/model/read-command.ts';
import { $hung, $pinned } from '../../playground/state/candidates.ts';
import { $crop } from '../../playground/state/crop.ts';
import { $history, undoChange } from '../../playground/state/history.ts';
import { $plan } from '../../playground/state/hours.ts';
import { keep, kept } from '../../playground/state/kept.ts';
import { $library, keepInLibrary, openLibrary } from '../../playground/state/library.ts';
import { $masters, $onSamples } from '../../playground/state/masters.ts';
import { $messages } from '../../playground/state/messages.ts';
import { pasteText } from '../../playground/state/pasting.ts';
import { $picture } from '../../playground/state/picture.ts';
import { $recipe, beginWith, changeRecipe } from '../../playground/state/recipe.ts';
import { $saving } from '../../playground/state/saving.ts';
import { $suggestions } from '../../playground/state/suggestions.ts';
import { restoreWork } from '../../playground/state/work.ts';
import { equal, ok } from './assert.ts';
import { clean, find, master, mount, names, preview, settled, spoken, until } from './support.ts';

const own: WrittenRecipe = {
  name: "it's mine",
  channels: ['H', 'O'],
  knobs: { share: { value: 0.25 } },
  matrix: [
    [1, 0],
    ['share', 1],
    [0, 1],
  ],
};

beforeEach(() => {
  localStorage.clear();
  $library.set([]);
  $messages.set([]);
  beginWith(own);
});

describe('what the browser keeps', () => {
  it('is read again in the same version only, and never throws', () => {
    ok(keep('library', [own]), 'kept');
    equal(kept('library'), [own]);
    localStorage.setItem('linewash.library', JSON.stringify({ version: 2, value: [own] }));
    equal(kept('library'), undefined);
    localStorage.setItem('linewash.library', '{');
    equal(kept('library'), undefined);
  });

  it('brings steps back with their names, without those that are no recipes', async () => {
    const other = { ...own, balance: 'peak' };
    const steps = [
      { value: own, label: '' },
      { value: { matrix: 'evil' }, label: 'broken' },
      { value: other, label: 'balance', crop: true },
    ];
    keep('work', { steps, at: 2, drawer: 'mix', camera: null, files: ['H.fits', '<b>O</b>.fits'] });
    await restoreWork();
    equal($recipe.get(), other);
    equal([$history.get().past.length, $history.get().present.label], [1, 'balance']);
    equal($crop.get(), true);
    undoChange();
    equal([$recipe.get(), $crop.get()], [own, false]);
    ok($messages.get()[0]!.advice!.includes('H.fits, <b>O</b>.fits'), 'the masters of last time are named');
  });

  it('hangs up again what hung on the wall, without what is no good', async () => {
    const hung = [
      { id: 'own-1', recipe: own },
      { id: 'suggested-wide', recipe: { ...own, name: 'Wide' } },
      { id: 'own-2', recipe: { matrix: 'evil' } },
      7,
    ];
    const told = { why: 'Spreads.', gain: 1.3, screenNoise: 1.1 };
    const suggestions = [{ id: 'wide', ...told }, { id: 'gone', ...told }, { id: 'wide', why: 3 }, null];
    const steps = [{ value: own, label: '', plan: { ...NO_PLAN, more: 24, caps: { O: 20, x: 'evil' } } }];
    keep('work', { steps, at: 0, wall: { hung, pinned: ['own-1', 4], suggestions, computedFrom: '[]' } });
    await restoreWork();
    equal(
      $hung.get().map(({ id }) => id),
      ['own-1', 'suggested-wide'],
    );
    equal($pinned.get(), ['own-1']);
    equal(
      $suggestions.get()!.suggestions.map(({ id, recipe, gain }) => [id, recipe.name, gain]),
      [['wide', 'Wide', 1.3]],
    );
    equal($plan.get(), { ...NO_PLAN, more: 24, caps: { O: 20 } });
    // Samples stand where the masters of last time stood; other masters of one's own take the suggestions down.
    $onSamples.set(true);
    $masters.set([master('H')]);
    equal($hung.get().length, 2);
    $onSamples.set(false);
    $masters.set([master('H', { id: 'own' })]);
    equal(
      $hung.get().map(({ id }) => id),
      ['own-1'],
    );
    for (const wall of [3, null, { hung: 'x', pinned: 2 }]) {
      $hung.set([]);
      keep('work', { steps, at: 0, wall });
      await restoreWork();
      equal($hung.get(), []);
    }
    $pinned.set([]);
    $masters.set([]);
    // Whatever is said of masters that came and went is said by then.
    await new Promise((resolve) => setTimeout(resolve, 30));
  });

  it('begins anew where what was kept is no good', async () => {
    for (const work of [7, null, [], { steps: 3 }, { steps: [{}], at: 0 }, { steps: [{ value: own }], at: 'x' }]) {
      keep('work', work);
      await restoreWork();
      equal($recipe.get(), own);
    }
  });

  it('holds a library without what is no recipe', async () => {
    keep('library', [own, { matrix: 1 }, 'x']);
    await openLibrary();
    equal($library.get(), [own]);
  });
});

describe('the library', () => {
  it('is filled from the save panel and offered in the list of recipes', async () => {
    $picture.set(preview());
    $saving.set(undefined);
    const panel = await mount('lw-save');
    const field = find<HTMLInputElement>(panel, 'input');
    equal((await spoken('textbox'))[0]!.name, 'Name of the mix');
    field.value = 'Evening';
    field.dispatchEvent(new Event('change'));
    equal([$recipe.get().name, $history.get().present.label], ['Evening', 'name']);
    keepInLibrary();
    await settled(panel);
    ok((await names('button')).includes('button Take out of my library'), 'it can be taken out again');
    const { name: _, ...rest } = own;
    equal(kept('library'), [{ ...rest, name: 'Evening' }]);
    await clean(panel);
    changeRecipe({ ...own, balance: 'peak' }, 'balance');
    const choice = await mount('lw-recipe-choice');
    const select = find<HTMLSelectElement>(choice, 'select');
    equal(find<HTMLOptGroupElement>(choice, 'optgroup').label, 'Your library');
    select.value = 'own:0';
    select.dispatchEvent(new Event('change'));
    equal($recipe.get().name, 'Evening');
    await settled(choice);
    equal((await spoken('combobox'))[0]!.value, 'Evening');
    await clean(choice);
  });

  it('says where the browser keeps nothing', () => {
    const { setItem } = Storage.prototype;
    Storage.prototype.setItem = () => {
      throw new DOMException('full', 'QuotaExceededError');
    };
    try {
      keepInLibrary();
    } finally {
      Storage.prototype.setItem = setItem;
    }
    equal([$messages.get()[0]!.kind, $library.get().length], ['fault', 0]);
  });
});

describe('pasted text', () => {
  it('is split as a shell does', () => {
    equal(shellWords(`linewash mix 'it'\\''s' a\\ b "c d"`), ['linewash', 'mix', "it's", 'a b', 'c d']);
    equal(readCommand('$ linewash mix gilt S=S.fits --knob share=0.4 --knob=x=1 -o a.tif'), {
      recipe: 'gilt',
      knobs: { share: 0.4, x: 1 },
    });
    equal(readCommand('ls mix'), undefined);
  });

  it('opens as a recipe: JSON, link, command with a name, command with a link', async () => {
    const other = { ...own, name: 'pasted', balance: 'rows' as const };
    const link = await recipeLink(other);
    const texts = [JSON.stringify(other), ` https://example.org/${link}\n`, commandLine(link, [], 'x')];
    for (const text of texts) {
      beginWith(own);
      await pasteText(text);
      // A link states the version of its recipe.
      equal({ linewash: 2, ...$recipe.get() }, { linewash: 2, ...other });
      equal($history.get().present.label, 'recipe pasted, pasted');
    }
    await pasteText('linewash mix HOO H=H.fits O=O.fits');
    equal($recipe.get().name, 'HOO');
  });

  it('says that it is no recipe where it is something else', async () => {
    for (const text of ['good evening', 'S*0.4 + H*0.6', '0.25']) {
      $messages.set([]);
      await pasteText(text);
      equal($recipe.get(), own);
      equal(
        $messages.get().map(({ kind, words }) => [kind, words]),
        [['note', 'The pasted text holds no recipe.']],
      );
    }
  });

  it('says what is wrong with it', async () => {
    await pasteText('{"matrix": [[1, 2], [3]]}');
    await pasteText('linewash mix nowhere H=H.fits');
    equal($recipe.get(), own);
    await until(() => $messages.get().length > 0);
    equal($messages.get()[0]!.kind, 'fault');
  });
});
