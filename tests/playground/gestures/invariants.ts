import { missingLines, neededLines, sameMix, usedLines } from '../../../playground/model/columns.ts';
import { $alone, $aloneLayers, $singles } from '../../../playground/state/alone.ts';
import { $others } from '../../../playground/state/compare.ts';
import { $detail } from '../../../playground/state/detail.ts';
import { $lines, $masters, $opening } from '../../../playground/state/masters.ts';
import { $messages } from '../../../playground/state/messages.ts';
import { $busy, $picture } from '../../../playground/state/picture.ts';
import { $recipe } from '../../../playground/state/recipe.ts';
import { $saving } from '../../../playground/state/saving.ts';
import { $stars, $starsShown } from '../../../playground/state/stars.ts';
import { equal, ok } from '../assert.ts';
import { find } from '../support.ts';
import type { FakeEngine } from './fake-engine.ts';

/** Masters that a picture is made of must be those that stand for its lines now. */
const ofTheseMasters = (engine: FakeEngine, picture: object, what: string): void => {
  const { lines, recipe } = engine.askedFor(picture);
  for (const line of neededLines(recipe)) equal(lines[line], $lines.get()[line], `${what}: master of ${line}`);
};

const starsAsked = (): boolean => $stars.get() !== undefined && $starsShown.get();

/** The picture on screen is what was asked for, or on its way there, or nothing. */
const shown = (engine: FakeEngine): void => {
  const picture = $picture.get();
  if (picture !== undefined) {
    ofTheseMasters(engine, picture, 'picture');
    const { recipe, stars } = engine.askedFor(picture);
    ok($busy.get() || sameMix(recipe, $recipe.get()), 'the picture has the recipe on screen');
    ok($busy.get() || stars === starsAsked(), 'the picture has the stars, or none');
  }
  for (const { picture } of $aloneLayers.get()) {
    const alone = $singles.get().find(({ line, id }) => line === $alone.get()?.line && id === $alone.get()?.id);
    equal(engine.askedFor(picture).lines, alone && { [alone.line]: alone.id }, 'line alone');
  }
  for (const { picture } of $others.get().flat()) ofTheseMasters(engine, picture, 'other mix');
  const detail = $detail.get()?.picture;
  if (detail !== undefined) ofTheseMasters(engine, detail, 'detail');
};

/** What belongs into a recipe's text, a program or a command, and not into a sentence. */
const SYNTAX = /[{}[\]"\\]|--\w|\$\.|=>|\bat .*:\d+|undefined|\blinewash \w+ /;

const messages = (): void => {
  for (const { words, advice = '', action } of $messages.get())
    for (const said of [words, advice, action?.words ?? '']) ok(!SYNTAX.test(said), `a message says: ${said}`);
};

const saveButton = (panel: Element): void => {
  const off = find<HTMLButtonElement>(panel, 'button.main').disabled;
  equal(off, $saving.get() !== undefined || $picture.get() === undefined, 'Save is off');
};

/** What must hold after whatever happened. */
export const holds = (engine: FakeEngine, panel: Element): void => {
  shown(engine);
  messages();
  saveButton(panel);
  const ids = $masters.get().map(({ id }) => id);
  equal(ids, [...new Set(ids)], 'no master is open twice');
};

/** What must hold once every question is answered. */
export const holdsAtRest = (engine: FakeEngine): void => {
  ok(!$busy.get(), 'nothing is being mixed');
  equal($opening.get(), undefined, 'nothing is being opened');
  ok(engine.has($masters.get().map(({ id }) => id)), 'the worker has all masters on screen');
  const picture = $picture.get();
  const possible = canBeMixed();
  ok(possible || picture === undefined, 'no picture where nothing can be mixed');
  for (const { picture } of $aloneLayers.get()) ok($alone.get() !== undefined, `${picture.width}: a line is looked at`);
  const detail = $detail.get()?.picture;
  if (detail !== undefined) ok(sameMix(engine.askedFor(detail).recipe, $recipe.get()), 'detail of this recipe');
};

/** Whether the masters on screen, all of one size, have what the recipe on screen needs. */
export const canBeMixed = (): boolean => {
  const recipe = $recipe.get();
  const used = usedLines(recipe);
  if (used.length === 0 || missingLines(recipe, Object.keys($lines.get())).length > 0) return false;
  const sizes = $masters.get().filter(({ line }) => used.includes(line));
  return sizes.every(({ width }) => width === sizes[0]!.width);
};
