import { orderOf, termCount } from '../../prepare/background/fit.ts';
import { isFit } from './facts-of.ts';
import type { RecipeFault } from './fault.ts';
import type { BackgroundWish, WrittenRecipe } from './schema.ts';

/** Faults in what is done before the stretch: background, scale, continuum, spots, smoothing, stars. */
export const checkPreparation = (recipe: WrittenRecipe, names: readonly string[]): RecipeFault[] => [
  ...checkBackground(recipe, names),
  ...checkScale(recipe, names),
  ...checkContinuum(recipe, names),
  ...checkSpots(recipe, names),
  ...checkSmooth(recipe, names),
  ...checkStars(recipe),
];

const unknown = (path: (string | number)[], name: string, names: readonly string[]): RecipeFault => ({
  path,
  message: `there is no channel ${name}; channels: ${names.join(', ')}`,
});

const SURFACE_KEYS = ['order', 'include', 'exclude', 'reject', 'shadows', 'coefficients', 'surfaces'] as const;

const checkBackground = ({ background, continuum }: WrittenRecipe, names: readonly string[]): RecipeFault[] => {
  if (background === undefined) return [];
  const broad = Object.values(continuum ?? {}).map(({ from }) => from);
  const faults: RecipeFault[] = [];
  const surface = background.model === 'surface';
  for (const key of SURFACE_KEYS)
    if (background[key] !== undefined && !surface)
      faults.push({
        path: ['background', key],
        message: `${key} belongs to "model": "surface"`,
        needs: [['background', 'model']],
      });
  for (const key of ['at', 'coefficients', 'surfaces'] as const) {
    const known = key === 'at' ? names : [...names, ...broad];
    for (const name of Object.keys(background[key] ?? {}))
      if (name !== '*' && !known.includes(name)) faults.push(unknown(['background', key, name], name, known));
  }
  return [...faults, ...checkCoefficients(background), ...checkSurfaces(background)];
};

/** Their number says the order, unless it is stated. */
const checkCoefficients = ({ order, coefficients }: BackgroundWish): RecipeFault[] =>
  Object.entries(coefficients ?? {}).flatMap(([name, { length }]) => {
    if (order === undefined ? orderOf(length) !== undefined : length === termCount(order)) return [];
    const wanted =
      order === undefined ? 'orders 1 to 4 have 3, 6, 10 and 15' : `order ${order} has ${termCount(order)}`;
    const path = ['background', 'coefficients', name];
    return [{ path, message: `${length} coefficients; ${wanted}`, needs: [['background', 'order']] }];
  });

const checkSurfaces = ({ surfaces }: BackgroundWish): RecipeFault[] =>
  Object.entries(surfaces ?? {}).flatMap(([name, { order, coefficients, shade }]) => {
    const path = ['background', 'surfaces', name];
    const faults: RecipeFault[] = [];
    const { length } = coefficients;
    if (length !== termCount(order))
      faults.push({
        path: [...path, 'coefficients'],
        message: `${length} coefficients; order ${order} has ${termCount(order)}`,
        needs: [[...path, 'order']],
      });
    if (shade === undefined) return faults;
    const { columns, rows, values, left, right, top, bottom } = shade;
    if (values.length !== columns * rows)
      faults.push({
        path: [...path, 'shade', 'values'],
        message: `${values.length} values; ${columns} × ${rows} nodes have ${columns * rows}`,
      });
    if (!(left < right && top < bottom))
      faults.push({ path: [...path, 'shade'], message: 'left must be less than right, and top less than bottom' });
    return faults;
  });

const checkScale = ({ scale }: WrittenRecipe, names: readonly string[]): RecipeFault[] => {
  if (scale === undefined || typeof scale === 'string') return [];
  if (isFit(scale)) {
    const { to } = scale;
    return to === undefined || names.includes(to) ? [] : [unknown(['scale', 'to'], to, names)];
  }
  return Object.keys(scale)
    .filter((name) => !names.includes(name))
    .map((name) => unknown(['scale', name], name, names));
};

const checkContinuum = ({ continuum }: WrittenRecipe, names: readonly string[]): RecipeFault[] =>
  Object.entries(continuum ?? {}).flatMap(([name, { from }]) => {
    const faults: RecipeFault[] = [];
    if (!names.includes(name)) faults.push(unknown(['continuum', name], name, names));
    if (from === name)
      faults.push({ path: ['continuum', name, 'from'], message: 'a line cannot be subtracted from itself' });
    else if (Object.hasOwn(continuum!, from))
      faults.push({
        path: ['continuum', name, 'from'],
        message: `${from} has a continuum subtracted itself; take the plain broadband picture`,
      });
    return faults;
  });

const checkSpots = ({ spots }: WrittenRecipe, names: readonly string[]): RecipeFault[] =>
  typeof spots === 'object'
    ? Object.keys(spots).flatMap((name) => (names.includes(name) ? [] : [unknown(['spots', name], name, names)]))
    : [];

const checkSmooth = ({ smooth }: WrittenRecipe, names: readonly string[]): RecipeFault[] => {
  const { lines = [], guide, noise = {} } = smooth ?? {};
  const findings: RecipeFault[] = lines.flatMap((name, i) =>
    names.includes(name) ? [] : [unknown(['smooth', 'lines', i], name, names)],
  );
  if (guide !== undefined && !names.includes(guide)) findings.push(unknown(['smooth', 'guide'], guide, names));
  for (const name of Object.keys(noise))
    if (!names.includes(name)) findings.push(unknown(['smooth', 'noise', name], name, names));
  return findings;
};

const OF_PICTURE = ['strength', 'levels', 'stretch'] as const;
const OF_MASTERS = ['neutral', 'size', 'tint', 'radius'] as const;

const checkStars = ({ stars }: WrittenRecipe): RecipeFault[] => {
  if (stars === undefined) return [];
  const [unfit, other] = stars.from === 'masters' ? [OF_PICTURE, 'picture'] : [OF_MASTERS, 'masters'];
  return unfit.flatMap((key) =>
    stars[key] === undefined
      ? []
      : [
          {
            path: ['stars', key],
            message: `${key} belongs to "from": "${other}"`,
            needs: [['stars', 'from']],
          },
        ],
  );
};
