import { targetKey } from '../../lib/tally/target-name.ts';
import { assignLines } from '../model/assign.ts';
import type { Camera } from '../model/camera.ts';
import { boxesOf, NO_BOXES, withBoxes } from '../model/target-boxes.ts';
import { type TargetGroup, targetNameOf, targetsAmong } from '../model/target-groups.ts';
import { text } from '../text-targets.ts';
import { adaptToMasters } from './adapt.ts';
import type { Fresh } from './fresh.ts';
import { $places, type Place } from './held-places.ts';
import { $history, $targets, changePart, notePart, type PageTarget, type TargetSet } from './history.ts';
import { described, type PageMaster } from './masters.ts';
import { say } from './messages.ts';
import { askedMasters, closeInWorker, whenFilled } from './open-set.ts';
import { $picture } from './picture.ts';
import { $stars, layStars, removeStars } from './stars.ts';
import { $camera } from './view.ts';

/** Gives each of a target's masters its line. */
const withLines = (masters: readonly Fresh[]): PageMaster[] => {
  const guesses = assignLines(masters.map((master) => ({ ...described(master), said: master.said })));
  return masters.map(({ said: _, ...master }, i) => ({ ...master, ...guesses[i]! }));
};

/** All targets as they are now, that on screen with its masters and boxes; samples are nobody's target. */
export const targetsNow = (): TargetSet | undefined => {
  const { masters, onSamples } = askedMasters();
  const { recipe, plan, targets } = $history.get().present.value;
  if (onSamples) return undefined;
  const boxes = boxesOf(recipe, plan);
  if (targets === undefined) {
    if (masters.length === 0) return undefined;
    const name = targetNameOf(masters) ?? text.unnamed(1);
    return { current: name, all: [{ name, masters, boxes }] };
  }
  const all = targets.all.map((one) => (one.name === targets.current ? { ...one, masters, boxes } : one));
  return { current: targets.current, all };
};

/** Shows a target, as a step that can be undone. */
const show = (all: readonly PageTarget[], next: PageTarget, label: string): void => {
  notePart({ open: askedMasters(), targets: targetsNow() });
  const { recipe, plan } = $history.get().present.value;
  const { feature } = next.boxes;
  const moved = JSON.stringify(boxesOf(recipe, plan)) !== JSON.stringify(next.boxes);
  const boxes = moved ? { recipe: withBoxes(recipe, next.boxes), plan: { ...plan, feature } } : {};
  const open = { masters: next.masters, onSamples: false };
  // Whoever follows the steps shows the masters.
  changePart({ open, targets: { current: next.name, all }, ...boxes }, label);
  // Masters that were closed meanwhile are opened first.
  void whenFilled().then(() => {
    if ($targets.get()?.current === next.name) adaptToMasters();
  });
};

/** Puts another target on screen: its masters, its boxes and the view it was left with. The mix stays. */
export const switchTarget = (name: string): void => {
  const now = targetsNow();
  const next = now?.all.find((one) => one.name === name);
  if (now === undefined || next === undefined || name === now.current) return;
  // A target whose masters were all closed is gone when it is left.
  const all = now.all.filter(({ masters }) => masters.length > 0);
  show(all, next, text.switched(name));
};

/** Adds targets beside those that are there, in the place of those of the same name, and shows the first of them. */
const add = (groups: readonly TargetGroup<Fresh>[]): readonly PageTarget[] => {
  const before = targetsNow();
  // What the recipe says about places belongs to the masters that it was made on.
  const { recipe, plan } = $history.get().present.value;
  const firstBoxes = before === undefined ? boxesOf(recipe, plan) : NO_BOXES;
  const fresh = groups.map(({ name, masters }, i): PageTarget => {
    const boxes = before?.all.find((one) => targetKey(one.name) === targetKey(name))?.boxes;
    return { name, masters: withLines(masters), boxes: boxes ?? (i === 0 ? firstBoxes : NO_BOXES) };
  });
  const kept = (before?.all ?? []).filter(({ name }) => !fresh.some((one) => targetKey(one.name) === targetKey(name)));
  const all = [...kept, ...fresh].sort((a, b) => (a.name < b.name ? -1 : 1));
  const [first, ...others] = fresh;
  show(all, first!, text.openedStep(fresh.map(({ name }) => name)));
  // They are opened again when they are switched to.
  closeInWorker(others.flatMap(({ masters }) => masters.map(({ id }) => id)));
  return fresh;
};

/** Opens masters as targets where they are of several. False where they are of one: nothing is done then. */
export const openTargets = (fresh: readonly Fresh[]): boolean => {
  const found = targetsAmong(fresh);
  if (found === undefined) return false;
  const targets = add(found.targets);
  const told = targets.map(({ name, masters }) => ({
    name,
    lines: [...new Set(masters.flatMap(({ line }) => (line === '' ? [] : [line])))],
  }));
  const advice = found.notes.length > 0 ? found.notes.join('\n') : undefined;
  say({ topic: 'targets', kind: 'note', words: text.opened(told), advice });
  return true;
};

/** Opens masters as a further target beside the present one. */
export const openBeside = (fresh: readonly Fresh[]): void => {
  const taken = (targetsNow()?.all ?? []).map(({ name }) => name);
  const named = targetNameOf(fresh);
  const name = named !== undefined && !taken.includes(named) ? named : unusedName(taken);
  add([{ name, masters: fresh }]);
};

const unusedName = (taken: readonly string[]): string => {
  let number = taken.length + 1;
  while (taken.includes(text.unnamed(number))) number++;
  return text.unnamed(number);
};

/** How a target was left: its view, stars laid over it, and places whose colour is held. */
interface Left {
  readonly camera: Camera | undefined;
  readonly stars?: readonly File[] | undefined;
  readonly places?: readonly Place[];
}

const left = new Map<string, Left>();

/** The view that a target was left with; undefined for all of the picture. */
export const cameraOf = (name: string): Camera | undefined =>
  name === $targets.get()?.current ? $camera.get() : left.get(name)?.camera;

/** Lets a target be seen as it was left on an earlier visit. */
export const noteCamera = (name: string, camera: Camera | undefined): void => void left.set(name, { camera });

let stopWaiting: (() => void) | undefined;

/** Whichever way another target comes on screen, undo too, its view, stars and held places go with it. */
$targets.listen((now, before) => {
  // The masters on screen that get a name stay where they are.
  const onlyNamed = before === undefined && now?.all.length === 1;
  if (now === undefined || now.current === before?.current || onlyNamed) return;
  stopWaiting?.();
  if (before !== undefined)
    left.set(before.current, { camera: $camera.get(), stars: $stars.get()?.files, places: $places.get() });
  const { camera, stars, places = [] } = left.get(now.current) ?? {};
  $places.set([]);
  removeStars();
  // A picture of another size shows all of itself at first.
  stopWaiting = $picture.listen((picture) => {
    if (picture === undefined) return;
    stopWaiting?.();
    $camera.set(camera);
    if (places.length > 0) $places.set(places);
    if (stars !== undefined) void layStars(stars);
  });
});
