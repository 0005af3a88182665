import { BALANCES } from '../../mix/balance.ts';
import { balanceContext, channelsOf } from './facts-of.ts';
import type { RecipeFault } from './fault.ts';
import type { Recipe } from './schema.ts';

/**
 * What can be said only of weights that are numbers.
 * @param unknown rows whose numbers are not known; a balance of the whole matrix is then not judged
 */
export const checkWeights = (recipe: Recipe, unknown: ReadonlySet<number> = new Set()): RecipeFault[] => [
  ...checkAnyWeight(recipe, unknown),
  ...checkBalance(recipe, unknown),
  ...checkLightness(recipe),
];

/** Lightness alone makes a grey picture; without it something has to be mixed. */
const checkAnyWeight = ({ matrix, lightness }: Recipe, unknown: ReadonlySet<number>): RecipeFault[] =>
  (lightness ?? undefined) === undefined && matrix.every((row, r) => !unknown.has(r) && row.every((w) => w === 0))
    ? [{ path: ['matrix'], message: 'all weights are zero, so there is nothing to mix', needs: [['lightness']] }]
    : [];

const checkBalance = (recipe: Recipe, unknown: ReadonlySet<number>): RecipeFault[] => {
  const { balance = 'as-written', mixIn } = recipe;
  const path = ['balance'];
  if (balance === 'equal-light' && mixIn !== 'light')
    return [{ path, message: 'equal-light weighs light: it needs "mixIn": "light"', needs: [['mixIn']] }];
  const width = channelsOf(recipe).length;
  if (recipe.matrix.length !== 3 || recipe.matrix.some((row, r) => row.length !== width && !unknown.has(r))) return [];
  const faults: RecipeFault[] = [];
  const whole = new Array<number>(width).fill(1);
  // A row that cannot be balanced hides those after it: it is put right, and they are looked at too.
  const judged = recipe.matrix.map((row, r) => (unknown.has(r) ? whole : row));
  for (let tries = 0; tries < judged.length; tries++) {
    const result = BALANCES[balance].apply(judged, balanceContext(recipe));
    if (!('fault' in result)) break;
    const { row, fault: message } = result;
    if (row === undefined) {
      const needs = [['white'], ['matrix'], ['mixIn'], ['space']];
      if (tries === 0) faults.push({ path, message, needs });
      break;
    }
    if (judged[row] === whole) break;
    faults.push({ path: ['matrix', row], message, needs: [['white']] });
    judged[row] = whole;
  }
  return faults;
};

const checkLightness = ({ lightness }: Recipe): RecipeFault[] =>
  Array.isArray(lightness) && lightness.every((w) => w === 0)
    ? [{ path: ['lightness'], message: 'all weights are zero', needs: [['lightness']] }]
    : [];
