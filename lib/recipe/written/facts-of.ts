import { SPACES } from '../../colour/spaces.ts';
import type { BalanceContext } from '../../mix/balance.ts';
import { DEFAULT_CHANNELS } from '../../plane/name.ts';
import type { KnobEntry, Recipe, WrittenRecipe } from './schema.ts';

/** The channels of a recipe: its own, or those it colours, or S, H, O where its rows hold three weights. */
export const channelsOf = ({ channels, lines }: WrittenRecipe): readonly string[] =>
  channels ?? (lines === undefined ? DEFAULT_CHANNELS : Object.keys(lines));

/** The least and the largest value of a knob. */
export const knobRange = ({ min = 0, max = 1 }: KnobEntry): readonly [number, number] => [min, max];

/** What balancing this recipe's matrix needs to know. */
export const balanceContext = (recipe: Recipe): BalanceContext => ({
  luminance: SPACES[recipe.space ?? 'srgb'].luminance,
  ...(recipe.white && { white: channelsOf(recipe).map((name) => recipe.white![name] ?? recipe.white!['*'] ?? 1) }),
});

/** Whether a scale is a fit to a named line rather than numbers by channel. */
export const isFit = (scale: object): scale is { mode: 'fit'; to?: string } => 'mode' in scale && scale.mode === 'fit';
