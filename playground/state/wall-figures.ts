import { figuresOf } from '../model/figures.ts';
import { $candidates } from './candidates.ts';
import { $eyes } from './eyes.ts';
import { $reports } from './masters.ts';
import { $figures, $order, $wall, type Order, want } from './wall.ts';

/** Computes figures of all candidates whose mix is known, and asks for the mixes of the others. */
const update = (): void => {
  if ($order.get() === 'listed') return;
  want(...$candidates.get().map(({ id }) => id));
  const measured = Object.fromEntries(Object.entries($reports.get()).map(([line, report]) => [line, report.measured]));
  const viewer = $eyes.get();
  $figures.set(
    Object.fromEntries(
      Object.entries($wall.get()).map(([id, { settled }]) => {
        const key = JSON.stringify([settled, viewer, Object.keys(measured)]);
        if (!known.has(key)) known.set(key, figuresOf(settled, measured, viewer));
        return [id, known.get(key)!];
      }),
    ),
  );
};

const known = new Map<string, ReturnType<typeof figuresOf>>();

for (const store of [$order, $wall, $candidates, $eyes, $reports]) store.listen(update);

export const orderBy = (order: Order): void => $order.set(order);
