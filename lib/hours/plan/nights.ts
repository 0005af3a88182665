import type { Share } from '../allocate.ts';
import { bestShares } from './best-shares.ts';
import { type NightHours, seasonOf, type TargetState } from './season.ts';

/** What one line of one target gets in one night. */
export interface NightBlock {
  readonly target: string;
  readonly line: string;
  /** Hours of exposure, and subs where their length is known. */
  readonly hours: number;
  readonly subs?: number;
  readonly clock: number;
}

export interface PlannedNight extends NightHours {
  readonly used: number;
  readonly blocks: readonly NightBlock[];
}

export interface PlannedNights {
  readonly nights: readonly PlannedNight[];
  /** Hours added by target, in the order of its lines. */
  readonly added: readonly (readonly number[])[];
}

/**
 * Gives every night's hours to lines of targets so that the sum over targets of weight · variance / variance today falls
 * most. Without filter changes and limits by night the nights together are then split as if they were one: filling is
 * monotone. A target's variance is counted relative to today's, so that targets of any brightness and unit compare.
 */
export const planNights = (
  targets: readonly TargetState[],
  nights: readonly NightHours[],
  change = 0,
): PlannedNights => {
  const season = seasonOf(targets, nights);
  const best = bestShares(season, change);
  const planned = nights.map((night, n): PlannedNight => {
    const { clock, shares } = best[n]!;
    return { ...night, used: clock, blocks: blocksOf(shares, targets) };
  });
  let first = 0;
  const added = targets.map(({ lines }) => {
    const start = first;
    first += lines.length;
    return lines.map((_, i) => best.reduce((sum, { hours }) => sum + hours[start + i]!, 0));
  });
  return { nights: planned, added };
};

/** The blocks of a night. */
const blocksOf = (shares: readonly Share[], targets: readonly TargetState[]): NightBlock[] =>
  shares.flatMap(({ group, name, added, subs, clock }) =>
    added > 0
      ? [
          {
            target: targets[Number(group)]!.name,
            line: name,
            hours: added,
            ...(subs === undefined ? {} : { subs }),
            clock,
          },
        ]
      : [],
  );
