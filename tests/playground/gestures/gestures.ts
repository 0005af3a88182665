import { CATALOGUE } from '../../../lib/palettes/catalogue.ts';
import { inputError, LinewashError } from '../../../lib/plane/errors.ts';
import { checkedRecipe } from '../../../lib/recipe/written/parse.ts';
import { columnsOf, withWeight } from '../../../playground/model/columns.ts';
import { adaptToMasters } from '../../../playground/state/adapt.ts';
import { $alone, stepAlone } from '../../../playground/state/alone.ts';
import { $arrival, PLACES } from '../../../playground/state/arrival.ts';
import { $crop, setCrop } from '../../../playground/state/crop.ts';
import { wantDetail } from '../../../playground/state/detail.ts';
import { redoChange, undoChange } from '../../../playground/state/history.ts';
import { $lines, $masters, $opening } from '../../../playground/state/masters.ts';
import { $messages, unsay } from '../../../playground/state/messages.ts';
import { chooseLine, exchangeLines, joinLine, openMasters, removeMaster } from '../../../playground/state/opening.ts';
import { $picture } from '../../../playground/state/picture.ts';
import { $recipe, changeRecipe } from '../../../playground/state/recipe.ts';
import { SAVE_KINDS, save } from '../../../playground/state/saving.ts';
import { $starsShown, layStars, removeStars } from '../../../playground/state/stars.ts';
import type { Clock } from './clock.ts';
import { cancelled, type FakeEngine, SIZES } from './fake-engine.ts';

/** Random numbers of a seed. */
export interface Random {
  /** A whole number from 0 on, less than `n`. */
  below(n: number): number;
  one<T>(of: readonly T[]): T;
}

export const randomOf = (seed: number): Random => {
  let state = seed >>> 0;
  const below = (n: number): number => {
    state = (Math.imul(state, 1664525) + 1013904223) >>> 0;
    return Math.floor((state / 2 ** 32) * n);
  };
  return { below, one: (of) => of[below(of.length)]! };
};

/** What a hand, a file, the worker or time can do to the page. */
export type Gesture = (random: Random) => void;

const LINES = ['S', 'H', 'O', 'N2', 'unknown'];

const open: Gesture = (random) => {
  const target = random.one(Object.keys(SIZES));
  const lines = LINES.filter(() => random.below(2) === 0);
  const files = lines.map((line) => ({ name: `${target}-${line}-${random.below(2)}.fits`, from: new Blob() }));
  if (files.length > 0) void openMasters(files).then(adaptToMasters);
};

const anyMaster = (random: Random) => random.one($masters.get());
const anyLine = (random: Random) => random.one(Object.keys($lines.get()));

const weigh: Gesture = (random) => {
  const recipe = $recipe.get();
  const line = random.one(columnsOf(recipe, Object.keys($lines.get())));
  const weight = random.one([0, 0.25, 0.5, 1]);
  const row = random.below(3);
  const key = random.below(2) === 0 ? `weight ${row} ${line}` : undefined;
  changeRecipe(withWeight(recipe, $picture.get()?.plain, row, line, weight), `weight of ${line}`, key);
};

const noWeights: Gesture = () => {
  const recipe = $recipe.get();
  const matrix = [0, 1, 2].map(() => columnsOf(recipe, []).map(() => 0));
  changeRecipe({ ...recipe, matrix }, 'no weights');
};

const HANDS: readonly Gesture[] = [
  open,
  open,
  (random) => $arrival.get()?.answer(random.one([...PLACES, ...PLACES, undefined])),
  (random) => $arrival.get()?.answer(random.one(PLACES)),
  (random) => $masters.get().length > 0 && removeMaster(anyMaster(random).id),
  (random) => $masters.get().length > 0 && chooseLine(anyMaster(random).id, random.one(['S', 'H', 'O', 'N2', ''])),
  (random) => $masters.get().length > 1 && joinLine(anyMaster(random).id, anyMaster(random).line),
  (random) => Object.keys($lines.get()).length > 1 && exchangeLines(anyLine(random), anyLine(random)),
  () => undoChange(),
  () => undoChange(),
  () => redoChange(),
  (random) => changeRecipe(random.one(CATALOGUE).recipe, 'recipe'),
  weigh,
  weigh,
  noWeights,
  () => setCrop(!$crop.get()),
  () => void layStars([new File([], 'stars.tif')]),
  () => removeStars(),
  () => $starsShown.set(!$starsShown.get()),
  (random) => stepAlone(random.one([1, -1])),
  () => $alone.set(undefined),
  (random) => wantDetail(random.one([undefined, { x: 4, y: 4, width: 20, height: 20 }])),
  () => $opening.get()?.cancel(),
  (random) => void save(random.one(SAVE_KINDS.filter(({ sample }) => sample !== undefined)), 2400),
  (random) => {
    const message = $messages.get()[random.below(4)];
    if (message?.action) message.action.act();
    else if (message) unsay(message.topic);
  },
];

const refusedRecipe = (): Error => {
  try {
    checkedRecipe({ linewash: 1, channels: ['H'], matrix: [[1], ['a b'], [{ x: 1 }]], balance: 'none', knobs: 7 });
  } catch (error) {
    return error as Error;
  }
  throw new Error('this recipe should be refused');
};

/** What a worker may answer instead of a result. */
const FAILURES: readonly (() => Error)[] = [
  cancelled,
  () => inputError('the masters lie 40 px apart', 'register them to one frame'),
  () => new LinewashError({ tag: 'format', file: 'H.fits', message: 'the file ends too early' }),
  refusedRecipe,
  () => new Error('out of bounds\n    at a line of code'),
];

/** One random thing that happens: mostly a hand or an answer, now and then a failure. */
export const gesture = (random: Random, engine: FakeEngine, clock: Clock): void => {
  const kind = random.below(100);
  const waits = engine.waiting();
  if (kind < 45) random.one(HANDS)(random);
  else if (kind < 85) answerSome(random, engine);
  else if (kind < 90) clock.pass(random.one([0, 150, 2000, 20_000]));
  else if (kind < 93 && waits > 0) engine.progress(random.below(waits));
  else if (kind < 98 && waits > 0) engine.fail(random.below(waits), random.one(FAILURES)());
  else if (kind >= 98) engine.crash();
};

const answerSome = (random: Random, engine: FakeEngine): void => {
  for (let i = random.below(4); i >= 0 && engine.waiting() > 0; i--) engine.answer(random.below(engine.waiting()));
};
