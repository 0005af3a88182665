import { SPACES } from '../colour/spaces.ts';
import { BALANCES, type BalanceContext } from '../mix/balance.ts';
import { DEFAULT_CHANNELS } from '../plane/name.ts';
import type { CurveKind } from '../stretch/curve.ts';
import { CURVES } from '../stretch/curves.ts';
import type { Recipe } from './schema.ts';

interface Finding {
  path: (string | number)[];
  message: string;
}

/** The channels of a recipe: its own, or S, H, O where its rows hold three weights. */
export const channelsOf = (recipe: Recipe): readonly string[] => recipe.channels ?? DEFAULT_CHANNELS;

/** What the schema alone cannot say: how the parts of a recipe must fit together. */
export const checkMeaning = (recipe: Recipe): Finding[] => [
  ...checkColumns(recipe),
  ...checkNames(recipe),
  ...checkStretch(recipe),
  ...checkBalance(recipe),
  ...checkLightness(recipe),
];

const checkColumns = ({ matrix, channels }: Recipe): Finding[] => {
  const count = channels?.length ?? DEFAULT_CHANNELS.length;
  return matrix.flatMap((row, r) => {
    if (row.length === count) return [];
    const advice = channels === undefined ? '; name the channels in "channels"' : '';
    return [{ path: ['matrix', r], message: `${row.length} weights for ${count} channels${advice}` }];
  });
};

const checkNames = (recipe: Recipe): Finding[] => {
  const findings: Finding[] = [];
  const names = channelsOf(recipe);
  const seen = new Set<string>();
  for (const [i, name] of names.entries()) {
    if (seen.has(name.toLowerCase()))
      findings.push({ path: ['channels', i], message: `the channel ${name} stands here twice` });
    seen.add(name.toLowerCase());
  }
  for (const part of ['stretch', 'levels', 'white'] as const)
    for (const key of Object.keys(recipe[part] ?? {}))
      if (key !== '*' && !names.includes(key))
        findings.push({ path: [part, key], message: `there is no channel ${key}; channels: ${names.join(', ')}` });
  return findings;
};

const checkStretch = ({ stretch }: Recipe): Finding[] =>
  Object.entries(stretch ?? {}).flatMap(([name, entry]) => {
    const kind: CurveKind = CURVES[entry.curve ?? 'bias'];
    const at = (key: string) => ['stretch', name, key];
    const findings: Finding[] = [];
    if (entry.a !== undefined && kind.range === undefined)
      findings.push({ path: at('a'), message: `the curve ${kind.name} has no parameter a` });
    if (entry.a !== undefined && kind.range !== undefined && (entry.a < kind.range[0] || entry.a > kind.range[1]))
      findings.push({
        path: at('a'),
        message: `found ${entry.a}; ${kind.name} takes ${kind.range[0]} to ${kind.range[1]}`,
      });
    if (kind.name === 'points') findings.push(...checkPoints(entry.points ?? [], at('points')));
    else if (entry.points !== undefined)
      findings.push({ path: at('points'), message: `the curve ${kind.name} takes no points` });
    return findings;
  });

const checkPoints = (points: readonly (readonly number[])[], path: (string | number)[]): Finding[] => {
  if (points.length === 0) return [{ path, message: 'the curve points needs at least one point [in, out]' }];
  return points.flatMap(([x, y], i) => {
    const before = points[i - 1];
    if (before === undefined || (x! > before[0]! && y! >= before[1]!)) return [];
    return [{ path: [...path, i], message: `[${x}, ${y}] does not rise after [${before.join(', ')}]` }];
  });
};

/** What balancing this recipe's matrix needs to know. */
export const balanceContext = (recipe: Recipe): BalanceContext => ({
  luminance: SPACES[recipe.space ?? 'srgb'].luminance,
  ...(recipe.white && { white: channelsOf(recipe).map((name) => recipe.white![name] ?? recipe.white!['*'] ?? 1) }),
});

const checkBalance = (recipe: Recipe): Finding[] => {
  const { matrix, balance, mixIn } = recipe;
  if (balance === 'equal-light' && mixIn !== 'light')
    return [{ path: ['balance'], message: 'equal-light weighs light: it needs "mixIn": "light"' }];
  const width = channelsOf(recipe).length;
  if (matrix.some((row) => row.length !== width)) return [];
  const result = BALANCES[balance ?? 'as-written'].apply(matrix, balanceContext(recipe));
  if (!('fault' in result)) return [];
  return [{ path: result.row === undefined ? ['balance'] : ['matrix', result.row], message: result.fault }];
};

const checkLightness = (recipe: Recipe): Finding[] => {
  const { lightness } = recipe;
  const names = channelsOf(recipe);
  if (lightness === undefined || lightness === null || lightness === 'least-noise') return [];
  const path = ['lightness'];
  if (typeof lightness === 'string')
    return names.includes(lightness)
      ? []
      : [
          {
            path,
            message: `found ${JSON.stringify(lightness)}; allowed: least-noise, ${names.join(', ')}, or a row of weights`,
          },
        ];
  if (lightness.length !== names.length)
    return [{ path, message: `${lightness.length} weights for ${names.length} channels` }];
  return lightness.some((w) => w !== 0) ? [] : [{ path, message: 'all weights are zero' }];
};
