import { inputError } from '../plane/errors.ts';
import { channelFor } from '../recipe/written/channel-for.ts';
import { type AllocateOptions, type Allocation, allocate } from './allocate.ts';
import { noiseFactors } from './goal.ts';
import type { Ledger, LedgerPlace } from './ledger.ts';
import { forQuantities, type Quantity } from './outputs.ts';
import type { SubLine } from './subs.ts';

/** Noise at a place as it would be. */
export interface FutureNoise {
  readonly noise: Readonly<Record<Quantity, number>>;
  readonly shares: Readonly<Record<Quantity, readonly number[]>>;
}

/**
 * Noise at a place when each line's noise is multiplied by its factor (see `noiseFactors`), with the recipe's settled
 * numbers and today's sensitivities as they are: an estimate.
 */
export const futureNoise = (place: LedgerPlace, factors: readonly number[]): FutureNoise => {
  const parts = forQuantities((q) => place.sensitivity[q].map((c, i) => (c * place.lineNoise[i]! * factors[i]!) ** 2));
  const noise = forQuantities((q) => Math.sqrt(parts[q].reduce((a, b) => a + b, 0)));
  return { noise, shares: forQuantities((q) => parts[q].map((v) => (noise[q] > 0 ? v / noise[q] ** 2 : 0))) };
};

/** Hours added to each line by an allocation. */
export const addedBy = (allocation: Allocation): number[] => allocation.shares.map(({ added }) => added);

/**
 * Hours added to each line if `hours` of what is spent on one had gone to another: negative for the first.
 * @param less name or spelling of the line they are taken from; `more`: of the one they go to
 * @throws LinewashError 'input' where a line is not there, is the same, or has not so many hours.
 */
export const moveHours = (lines: readonly SubLine[], less: string, more: string, hours: number): number[] => {
  const names = lines.map(({ name }) => name);
  const [from, to] = [less, more].map((word) => channelFor(word, names) ?? word) as [string, string];
  const source = lines.find(({ name }) => name === from);
  if (source === undefined || !names.includes(to) || from === to)
    throw inputError(`hours cannot be moved from ${from} to ${to}`, `name two of the lines ${names.join(', ')}`);
  if (!(hours > 0 && hours < source.spent))
    throw inputError(
      `${from} has ${Number(source.spent.toFixed(2))} h: ${hours} h cannot be taken from it`,
      'move less',
    );
  return names.map((name) => (name === from ? -hours : name === to ? hours : 0));
};

/** The noise of a quantity by hours added, split best. Not rounded to subs, so that the curve is smooth. */
export const noiseByHours = (
  place: LedgerPlace,
  quantity: Quantity,
  lines: readonly SubLine[],
  hours: readonly number[],
  options: AllocateOptions = {},
): { hours: number; noise: number }[] => {
  const smooth = lines.map((line) => ({ ...line, sub: undefined, overhead: undefined }));
  return hours.map((h) => {
    const factors = noiseFactors(lines, addedBy(allocate(smooth, h, options)));
    return { hours: h, noise: futureNoise(place, factors).noise[quantity] };
  });
};

/** The noise of a quantity by hours added to one line alone. */
export const noiseByHoursOf = (
  place: LedgerPlace,
  quantity: Quantity,
  lines: readonly SubLine[],
  name: string,
  hours: readonly number[],
): { hours: number; noise: number }[] =>
  hours.map((h) => {
    const factors = noiseFactors(
      lines,
      lines.map((line) => (line.name === name ? h : 0)),
    );
    return { hours: h, noise: futureNoise(place, factors).noise[quantity] };
  });

/** Which place of a ledger is planned for: the box where there is one. */
export const plannedPlace = (ledger: Ledger): LedgerPlace => ledger.box ?? ledger.background;
