import { atom, onMount } from 'nanostores';
import { type Camera, toPicture } from '../model/camera.ts';
import { missingLines } from '../model/columns.ts';
import { oneAtATime } from '../model/one-at-a-time.ts';
import { bandPart } from '../model/wall-order.ts';
import { $candidates } from './candidates.ts';
import { engine } from './engine.ts';
import { $lines } from './masters.ts';
import { $frame, type Frame } from './view.ts';
import { $part, $sharp, $wall } from './wall.ts';

/** Whether every candidate shows the part that the picture shows. */
export const $cropped = atom(false);

/** Width to height of a picture on the wall. */
const SHAPE = 2.5;
/** Larger parts are shown from the small pictures: nothing would be seen of their pixels. */
const MOST_PIXELS = 500_000;
const SETTLE_MS = 250;

const sharpenOnce = async (signal: AbortSignal): Promise<void> => {
  const [part, lines] = [$part.get(), $lines.get()];
  if (part === undefined || part.width * part.height > MOST_PIXELS) return;
  for (const { id, recipe } of $candidates.get()) {
    if ($wall.get()[id] === undefined || missingLines(recipe, Object.keys(lines)).length > 0) continue;
    const wish = { lines, recipe, box: part };
    const picture = await engine()
      .call('preview', wish, { signal })
      .catch(() => undefined);
    if (signal.aborted) return;
    if (picture !== undefined) $sharp.set({ ...$sharp.get(), [id]: picture });
  }
};

/** The camera as if what is open of the view were all of it. */
const middleOf = ({ camera, view, open }: Frame): Camera => ({
  ...camera,
  ...toPicture(camera, view, { x: open.x + open.width / 2, y: open.y + open.height / 2 }),
});

const sharpening = oneAtATime(sharpenOnce);
let timer: ReturnType<typeof setTimeout> | undefined;

const follow = (): void => {
  const frame = $frame.get();
  const part = $cropped.get() && frame ? bandPart(middleOf(frame), frame.open, frame.full, SHAPE) : undefined;
  if (JSON.stringify(part) === JSON.stringify($part.get())) return;
  $sharp.set({});
  $part.set(part);
  clearTimeout(timer);
  timer = setTimeout(() => sharpening.restart(), SETTLE_MS);
};

onMount($cropped, () => {
  const stops = [$frame.listen(follow), $cropped.listen(follow)];
  return () => {
    for (const stop of stops) stop();
  };
});
