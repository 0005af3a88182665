import { RESERVED } from '../../mix/expression-tokens.ts';
import { MAX_CHANNELS, nearest } from '../../plane/name.ts';
import type { CurveKind } from '../../stretch/curve.ts';
import { CURVES, type CurveName } from '../../stretch/curves.ts';
import { checkPreparation } from './check-preparation.ts';
import { channelsOf, knobRange } from './facts-of.ts';
import type { RecipeFault } from './fault.ts';
import type { StretchWish, WrittenRecipe } from './schema.ts';

export type { RecipeFault } from './fault.ts';

/**
 * What the schema alone cannot say of a recipe as written: how its parts must fit together.
 * @param names the channels as they stand in the text; undefined where that cannot be told, and names are not checked
 */
export const checkMeaning = (
  recipe: WrittenRecipe,
  names: readonly string[] | undefined = channelsOf(recipe),
): RecipeFault[] => [
  ...checkForm(recipe),
  ...checkKnobs(recipe),
  ...checkStretch(recipe),
  ...(names === undefined ? [] : checkByName(recipe, names)),
];

const checkByName = (recipe: WrittenRecipe, names: readonly string[]): RecipeFault[] => [
  ...checkColumns(recipe, names),
  ...checkLines(recipe, names),
  ...checkNames(recipe, names),
  ...checkPreparation(recipe, names),
  ...checkLightnessName(recipe, names),
];

const checkForm = ({ matrix, lines }: WrittenRecipe): RecipeFault[] => {
  if (matrix !== undefined && lines !== undefined)
    return [{ path: ['lines'], message: 'a recipe has either "matrix" or "lines", not both' }];
  if (matrix !== undefined || lines !== undefined) return [];
  const message = 'this key is missing: three rows of weights (or "lines" with colours)';
  return [{ path: ['matrix'], message, needs: [['lines']] }];
};

const checkLines = ({ lines }: WrittenRecipe, names: readonly string[]): RecipeFault[] => {
  if (lines === undefined) return [];
  if (names.length === 0 || names.length > MAX_CHANNELS)
    return [{ path: ['lines'], message: `found ${names.length} lines; a recipe has 1 to ${MAX_CHANNELS} lines` }];
  return names
    .filter((name) => !Object.hasOwn(lines, name))
    .map((name) => ({
      path: ['lines'],
      message: `the colour of the channel ${name} is missing`,
      needs: [
        ['lines', name],
        ['channels', names.indexOf(name)],
      ],
    }));
};

const checkColumns = ({ matrix = [], channels }: WrittenRecipe, names: readonly string[]): RecipeFault[] =>
  matrix.flatMap((row, r) => {
    if (row.length === names.length) return [];
    const advice = channels === undefined ? '; name the channels in "channels"' : '';
    return [{ path: ['matrix', r], message: `${row.length} weights for ${names.length} channels${advice}` }];
  });

/** There is no such channel; one that is spelled nearly so may be meant. */
const noChannel = (path: (string | number)[], name: string, names: readonly string[]): RecipeFault => {
  const same = names.find((known) => known.toLowerCase() === name.toLowerCase());
  // Of names of a letter or two any is near any other.
  const near = same ?? (name.length > 2 ? nearest(name, names) : undefined);
  const advice = near === undefined ? '' : ` (did you mean ${near}?)`;
  return { path, message: `there is no channel ${name}; channels: ${names.join(', ')}${advice}` };
};

const checkNames = (recipe: WrittenRecipe, names: readonly string[]): RecipeFault[] => {
  const faults: RecipeFault[] = [];
  const seen = new Set<string>();
  for (const [i, name] of names.entries()) {
    if (seen.has(name.toLowerCase()))
      faults.push({ path: ['channels', i], message: `the channel ${name} is listed twice` });
    seen.add(name.toLowerCase());
  }
  for (const part of ['lines', 'stretch', 'levels', 'white'] as const)
    for (const key of Object.keys(recipe[part] ?? {}))
      if ((key !== '*' || part === 'lines') && !names.includes(key)) faults.push(noChannel([part, key], key, names));
  return faults;
};

const checkStretch = ({ stretch, stars }: WrittenRecipe): RecipeFault[] => [
  ...Object.entries(stretch ?? {}).flatMap(([name, entry]) => checkCurve(entry, ['stretch', name], 'bias')),
  ...(stars?.stretch ? checkCurve(stars.stretch, ['stars', 'stretch'], 'asinh') : []),
];

const checkCurve = (entry: StretchWish, path: (string | number)[], otherwise: CurveName): RecipeFault[] => {
  const kind: CurveKind = CURVES[entry.curve ?? otherwise];
  const at = (key: string) => [...path, key];
  const needs = [at('curve')];
  const faults: RecipeFault[] = [];
  if (entry.a !== undefined && kind.range === undefined)
    faults.push({ path: at('a'), message: `the curve ${kind.name} has no parameter a`, needs });
  if (entry.a !== undefined && kind.range !== undefined && (entry.a < kind.range[0] || entry.a > kind.range[1]))
    faults.push({
      path: at('a'),
      message: `found ${entry.a}; ${kind.name} takes ${kind.range[0]} to ${kind.range[1]}`,
      needs,
    });
  if (kind.name === 'points') faults.push(...checkPoints(entry.points ?? [], at('points')));
  else if (entry.points !== undefined)
    faults.push({ path: at('points'), message: `the curve ${kind.name} takes no points`, needs });
  return faults;
};

const checkPoints = (points: readonly (readonly number[])[], path: (string | number)[]): RecipeFault[] => {
  if (points.length === 0) return [{ path, message: 'the curve points needs at least one point [in, out]' }];
  return points.flatMap(([x, y], i) => {
    const before = points[i - 1];
    if (before === undefined || (x! > before[0]! && y! >= before[1]!)) return [];
    const message = `[${x}, ${y}] does not rise after [${before.join(', ')}]`;
    return [
      {
        path: [...path, i],
        message,
        needs: [
          [...path, i],
          [...path, i - 1],
        ],
      },
    ];
  });
};

const checkKnobs = ({ knobs }: WrittenRecipe): RecipeFault[] =>
  Object.entries(knobs ?? {}).flatMap(([name, knob]) => {
    const [min, max] = knobRange(knob);
    const needs = [['knobs', name]];
    if (RESERVED.includes(name))
      return [{ path: ['knobs', name], message: `${name} has a meaning of its own; name the knob otherwise` }];
    if (min >= max) return [{ path: ['knobs', name], message: `min ${min} is not below max ${max}`, needs }];
    if (knob.value >= min && knob.value <= max) return [];
    return [
      { path: ['knobs', name, 'value'], message: `found ${knob.value}; this knob takes ${min} to ${max}`, needs },
    ];
  });

const checkLightnessName = ({ lightness }: WrittenRecipe, names: readonly string[]): RecipeFault[] => {
  if (lightness === undefined || lightness === null || lightness === 'least-noise') return [];
  const path = ['lightness'];
  if (typeof lightness !== 'string')
    return lightness.length === names.length
      ? []
      : [{ path, message: `${lightness.length} weights for ${names.length} channels` }];
  if (names.includes(lightness)) return [];
  const found = `found ${JSON.stringify(lightness)}; allowed: least-noise, ${names.join(', ')}, or a row of weights`;
  return [{ path, message: found }];
};
