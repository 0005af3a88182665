import { inputError } from '../plane/errors.ts';
import type { Camera } from './ccd.ts';
import { readPenalty } from './ccd.ts';
import type { Exposure } from './exposure.ts';
import type { LedgerPlace } from './ledger.ts';
import type { Quantity } from './outputs.ts';
import type { SubLine } from './subs.ts';

/** How one line may be exposed from now on. */
export interface LineWish {
  /** Seconds of a future sub; as so far where absent. */
  readonly sub?: number | undefined;
  /** Seconds lost after each sub. */
  readonly overhead?: number | undefined;
  /** Most total hours. */
  readonly cap?: number | undefined;
  /** How much this line's noise counts; 1 where absent. */
  readonly weight?: number | undefined;
  /** Makes read noise count where future subs differ in length; sky-limited where absent. */
  readonly camera?: Camera | undefined;
}

/**
 * Lines as the split of time takes them, for the noise of one quantity at one place of the ledger.
 * Noise falls with the root of the hours whatever limits it, as long as the subs stay the same. Subs of another length
 * carry another share of read noise: with a camera given, the hours spent are counted as the hours of *future* subs
 * that would leave the same noise, so that old and new subs combine by inverse variance.
 * @throws LinewashError 'input' where a line that matters has no hours.
 */
export const linesFor = (
  place: LedgerPlace,
  quantity: Quantity,
  exposures: readonly Exposure[],
  wishes: Readonly<Record<string, LineWish>> = {},
): SubLine[] => {
  const reach = place.sensitivity[quantity];
  return exposures.map(({ name, hours, sub: before }, i) => {
    if (hours === undefined || !(hours > 0)) throw noHours(name);
    const { sub = before, overhead, cap, weight = 1, camera } = wishes[name] ?? {};
    const worth = camera && before && sub ? (readPenalty(camera, sub) / readPenalty(camera, before)) ** 2 : 1;
    const spent = hours * worth;
    return {
      name,
      spent,
      strength: weight * reach[i]! * place.lineNoise[i]! * Math.sqrt(spent),
      sub,
      overhead,
      ...(cap === undefined ? {} : { room: Math.max(0, cap - hours) }),
    };
  });
};

const noHours = (name: string) =>
  inputError(
    `the exposure of ${name} is unknown: its header does not give it, so hours cannot be planned`,
    'give the hours so far',
    undefined,
    { option: 'time', line: name },
  );

/** By what each line's noise is multiplied when hours are added to it. */
export const noiseFactors = (lines: readonly SubLine[], added: readonly number[]): number[] =>
  lines.map(({ spent }, i) => Math.sqrt(spent / (spent + added[i]!)));
