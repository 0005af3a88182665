import { atom } from 'nanostores';
import type { WrittenRecipe } from '../../lib/recipe/written/schema.ts';
import { figuresOf } from '../model/figures.ts';
import { $candidates } from './candidates.ts';
import { engine } from './engine.ts';
import { $eyes } from './eyes.ts';
import { $lines, $reports } from './masters.ts';
import { $figures, $mapped, $order, $wall, type Order, want } from './wall.ts';

/** What one pixel of the background varies by, by line, as the ledger has it; undefined until it is known. */
const $pixelNoise = atom<Readonly<Record<string, number>> | undefined>(undefined);

/** An even mix of all lines: whatever a recipe makes of them, this is what it begins with. */
const evenMix = (names: readonly string[]): WrittenRecipe => {
  const row = names.map(() => 1);
  return { channels: [...names], matrix: [row, row, row], balance: 'rows' };
};

let surveyed = '';

/** Surveys the lines that were measured, once. */
const survey = async (lines: Readonly<Record<string, string>>): Promise<void> => {
  const key = JSON.stringify(lines);
  if (key === surveyed) return;
  surveyed = key;
  $pixelNoise.set(undefined);
  const wish = { lines, recipe: evenMix(Object.keys(lines)) };
  // Where the lines cannot be surveyed, the spread of their sky must do.
  const noise = await engine()
    .call('pixelNoise', wish)
    .catch(() => ({}));
  if (key === surveyed) $pixelNoise.set(noise);
};

/** Computes figures of all candidates whose mix is known, and asks for the mixes of the others. */
const update = (): void => {
  if ($order.get() === 'listed' && !$mapped.get()) return;
  want(...$candidates.get().map(({ id }) => id));
  void survey($lines.get());
  const pixel = $pixelNoise.get();
  if (pixel === undefined) return;
  const measured = Object.fromEntries(
    Object.entries($reports.get()).map(
      ([
        line,
        {
          measured: { level, spread },
          noise,
        },
      ]) => [line, { level, noise: pixel[line] ?? noise ?? spread }],
    ),
  );
  const viewer = $eyes.get();
  $figures.set(
    Object.fromEntries(
      Object.entries($wall.get()).map(([id, { settled }]) => {
        const key = JSON.stringify([settled, viewer, measured]);
        if (!known.has(key)) known.set(key, figuresOf(settled, measured, viewer));
        return [id, known.get(key)!];
      }),
    ),
  );
};

const known = new Map<string, ReturnType<typeof figuresOf>>();

for (const store of [$order, $mapped, $wall, $candidates, $eyes, $reports, $pixelNoise]) store.listen(update);
update();

export const orderBy = (order: Order): void => $order.set(order);
