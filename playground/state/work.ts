import type { WrittenRecipe } from '../../lib/recipe/written/schema.ts';
import type { History, Step } from '../model/history.ts';
import type { Plan } from '../model/plan.ts';
import { $hung, $pinned } from './candidates.ts';
import { $history, type Undoable } from './history.ts';
import { keep, kept } from './kept.ts';
import type { KeptWall } from './kept-wall.ts';
import { $masters, $onSamples } from './masters.ts';
import { $recipe } from './recipe.ts';
import { $computedFrom, $suggestions } from './suggestions.ts';
import { $camera, $drawer, DRAWERS, type Drawer } from './view.ts';

/** So many steps back survive a reload. */
const STEPS = 40;
const QUIET_MS = 400;

/** Lines of masters are not kept: other masters may be open then. */
interface KeptStep {
  readonly value: WrittenRecipe;
  readonly plan?: Plan;
  readonly crop?: boolean | undefined;
  readonly label: string;
}

interface Work {
  readonly steps: readonly KeptStep[];
  /** Which step is on screen. */
  readonly at: number;
  readonly drawer: Drawer;
  readonly camera: unknown;
  readonly wall?: KeptWall;
  /** Names of the user's own masters; their pixels are not kept. */
  readonly files: readonly string[];
}

/** Steps that changed only which line a master stands for say nothing once other masters are open. */
const lasting = (steps: readonly Step<Undoable>[]): Step<Undoable>[] =>
  steps.filter(({ value: { recipe, plan, crop } }, i) => {
    const before = steps[i - 1]?.value;
    return recipe !== before?.recipe || plan !== before.plan || crop !== before.crop;
  });

const now = (): Work => {
  const { past, present, future } = $history.get();
  const before = lasting([...past, present]).slice(-STEPS - 1);
  const after = lasting([present, ...future]).slice(1, STEPS + 1);
  const files = $onSamples.get() ? [] : $masters.get().map(({ file }) => file);
  return {
    steps: [...before, ...after].map(({ value: { recipe, plan, crop }, label }) => ({
      value: recipe,
      plan,
      crop,
      label,
    })),
    at: before.length - 1,
    drawer: $drawer.get(),
    camera: $camera.get() ?? null,
    files,
    wall: {
      hung: $hung.get(),
      pinned: $pinned.get(),
      suggestions: ($suggestions.get()?.suggestions ?? []).map(({ id, why, gain, screenNoise }) => ({
        id,
        why,
        gain,
        screenNoise,
      })),
      computedFrom: $computedFrom.get(),
    },
  };
};

let timer: ReturnType<typeof setTimeout> | undefined;
const keepSoon = (): void => {
  clearTimeout(timer);
  timer = setTimeout(keepNow, QUIET_MS);
};
const keepNow = (): void => {
  clearTimeout(timer);
  timer = undefined;
  keep('work', now());
};

/** Keeps the mix with its steps, the view and the drawer in the browser from now on. */
const keepFromNow = (): void => {
  for (const store of [$history, $camera, $drawer, $masters, $hung, $pinned, $suggestions]) store.listen(keepSoon);
  // Whoever leaves within the quiet moment loses nothing.
  addEventListener('pagehide', () => {
    if (timer !== undefined) keepNow();
  });
};

/** Steps with a good recipe; what was kept may have been changed by anyone. Checking is loaded only where there is any. */
const goodSteps = async (steps: unknown): Promise<(Step<Undoable> | undefined)[]> => {
  if (!Array.isArray(steps)) return [];
  const { checkedRecipe } = await import('../../lib/recipe/written/parse.ts');
  const { plainRecipe } = await import('../../lib/recipe/written/plain.ts');
  const { checkedPlan } = await import('../model/kept-plan.ts');
  return Promise.all(
    steps.slice(0, 2 * STEPS + 1).map(async (step) => {
      try {
        const recipe = checkedRecipe(step.value);
        await plainRecipe(recipe);
        const value = { recipe, plan: checkedPlan(step.plan), crop: step.crop === true };
        return { value, label: String(step.label).slice(0, 200), time: 0 };
      } catch {
        return undefined;
      }
    }),
  );
};

/** The kept steps as a past, a present and a future; undefined where the one that was on screen is no good. */
const historyOf = async (work: Partial<Work>): Promise<History<Undoable> | undefined> => {
  const steps = await goodSteps(work.steps);
  const at = Number(work.at);
  const present = steps[at];
  if (present === undefined) return undefined;
  const good = (some: typeof steps) => some.filter((step) => step !== undefined);
  return { past: good(steps.slice(0, at)), present, future: good(steps.slice(at + 1)) };
};

/** Brings back what the last visit left, then keeps. Never throws: at worst the page begins anew. */
export const restoreWork = async (): Promise<void> => {
  const found = kept('work');
  const first = $recipe.get();
  if (typeof found === 'object' && found !== null) {
    const work = found as Partial<Work>;
    const history = await historyOf(work).catch(() => undefined);
    // Whoever began to work meanwhile goes on with that.
    if (history !== undefined && $recipe.get() === first) await bringBack(work, history);
    if (work.wall !== undefined) await import('./kept-wall.ts').then((k) => k.hangAgain(work.wall)).catch(() => {});
  }
  keepFromNow();
};

const bringBack = async (work: Partial<Work>, history: History<Undoable>): Promise<void> => {
  $history.set(history);
  if (DRAWERS.includes(work.drawer!)) $drawer.set(work.drawer!);
  const files = Array.isArray(work.files) ? work.files.slice(0, 8).map(String) : [];
  const camera = work.camera as { x?: unknown; y?: unknown; scale?: unknown } | null | undefined;
  const numbers = [camera?.x, camera?.y, camera?.scale];
  // A view of masters that are not open says nothing about the samples.
  if (files.length === 0 && numbers.every((n) => typeof n === 'number' && Number.isFinite(n)))
    $camera.set({ x: numbers[0] as number, y: numbers[1] as number, scale: numbers[2] as number });
  if (files.length > 0) await import('./returning.ts').then(({ offerReturn }) => offerReturn(files)).catch(() => {});
};
