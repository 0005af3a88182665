import '../../../playground/elements/save/save.ts';
import { $alone } from '../../../playground/state/alone.ts';
import { $arrival } from '../../../playground/state/arrival.ts';
import { $combinations } from '../../../playground/state/combinations.ts';
import { $others } from '../../../playground/state/compare.ts';
import { $cover, $crop } from '../../../playground/state/crop.ts';
import { wantDetail } from '../../../playground/state/detail.ts';
import { $history, undoChange } from '../../../playground/state/history.ts';
import { $masters, $onSamples } from '../../../playground/state/masters.ts';
import { $messages } from '../../../playground/state/messages.ts';
import { openMasters } from '../../../playground/state/opening.ts';
import { $picture } from '../../../playground/state/picture.ts';
import { $recipe } from '../../../playground/state/recipe.ts';
import { equal, ok } from '../assert.ts';
import { mount, settled } from '../support.ts';
import { type Clock, calm, ownClock } from './clock.ts';
import { type FakeEngine, fakeEngine } from './fake-engine.ts';
import { gesture, randomOf } from './gestures.ts';
import { canBeMixed, holds, holdsAtRest } from './invariants.ts';

/** The draw that a failure names can be repeated by its seed. */
const SEED = 20_260;
const ROUNDS = 10;
const GESTURES = 100;

/** What undo has to bring back. */
const state = () => ({
  masters: $masters.get().map(({ file, line }) => `${file} ${line}`),
  onSamples: $onSamples.get(),
  recipe: $recipe.get(),
  crop: $crop.get(),
});

/** Answers all questions, also those that follow from answers, in turn. */
const answerAll = async (engine: FakeEngine, clock: Clock): Promise<void> => {
  for (let i = 0; i < 500; i++) {
    await calm();
    if (engine.waiting() > 0) engine.answer(0);
    else if (clock.waiting()) clock.pass(20_000);
    else return;
  }
  throw new Error('the page asks without end');
};

describe('whatever hands, files and failures do to the page', () => {
  let clock: Clock;
  let error: typeof console.error;
  let stops: (() => void)[];
  before(async () => {
    // Loaded beforehand, because the gestures do not wait for the network.
    await Promise.all([
      import('../../../playground/state/targets.ts'),
      import('../../../playground/state/keep-open.ts'),
      import('../../../playground/state/counting.ts'),
    ]);
    clock = ownClock();
    error = console.error;
    // Defects are planted by the hundred.
    console.error = () => {};
    stops = [$others, $combinations, $cover].map((store) => store.listen(() => {}));
  });
  after(() => {
    for (const stop of stops) stop();
    console.error = error;
    clock.restore();
  });

  it(`shows what was asked for or nothing, over ${ROUNDS * GESTURES} gestures`, async () => {
    const random = randomOf(SEED);
    const engine = fakeEngine();
    const panel = await mount('lw-save');
    const samples = ['S', 'H', 'O'].map((line) => ({ name: `kelp-${line}-0.fits`, from: 'sample' }));
    void openMasters(samples, 'samples');
    await answerAll(engine, clock);
    ok($picture.get() !== undefined, 'the samples are shown');
    const first = state();
    let pictures = 0;
    let steps = 0;
    const stop = $picture.listen(() => pictures++);
    for (let round = 0; round < ROUNDS; round++) {
      try {
        for (steps = 0; steps < GESTURES; steps++) {
          gesture(random, engine, clock);
          await calm();
          await settled(panel);
          holds(engine, panel);
        }
        await rest();
        holds(engine, panel);
        holdsAtRest(engine);
        await backToTheStart();
        equal(state(), first, 'all undone');
        ok(canBeMixed() && $picture.get() !== undefined, 'the first picture is there again');
        holdsAtRest(engine);
      } catch (fault) {
        throw new Error(`seed ${SEED}, round ${round}, gesture ${steps}: ${(fault as Error).message}`);
      }
    }
    stop();
    console.log(`seed ${SEED}: ${pictures} changes of the picture`);

    /** Leaves no question open, neither the worker's nor the page's. */
    async function rest(): Promise<void> {
      $arrival.get()?.answer(undefined);
      await answerAll(engine, clock);
      for (const { action, topic } of $messages.get()) if (topic === 'engine') action?.act();
      await answerAll(engine, clock);
      await settled(panel);
    }

    async function backToTheStart(): Promise<void> {
      wantDetail(undefined);
      $alone.set(undefined);
      while ($history.get().past.length > 0) {
        undoChange();
        await calm();
        holds(engine, panel);
        // Some steps back come faster than the worker.
        if (random.below(2) === 0) await rest();
      }
      await rest();
      // A master that a worker refused is tried again by the next one.
      engine.crash();
      await rest();
    }
  });
});
