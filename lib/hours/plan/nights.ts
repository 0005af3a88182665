import { type Allocation, allocate } from '../allocate.ts';
import { varianceAfter } from '../fill.ts';
import type { Group } from '../split.ts';
import type { SubLine } from '../subs.ts';

/** A target as the planner takes it. */
export interface TargetState {
  readonly name: string;
  /** Lines with their strength in the unit of the target's goal. */
  readonly lines: readonly SubLine[];
  /** Variance that is low enough; no more time is given then. */
  readonly enough?: number | undefined;
  /** How much it counts beside the others. */
  readonly weight: number;
  /** Hours a night that it stands high enough. */
  readonly up?: number | undefined;
  /** Whether it may be exposed on a night. */
  open(date: string): boolean;
}

export interface NightHours {
  readonly date: string;
  readonly dark: number;
}

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
 * Gives every night's hours to lines of targets, night after night, so that the sum over targets of
 * weight · variance / variance today falls most. Without filter changes and limits by night the nights together are
 * then split as if they were one: filling is monotone. Filter changes are weighed within each night alone.
 * A target's variance is counted relative to today's, so that targets of any brightness and unit compare.
 */
export const planNights = (
  targets: readonly TargetState[],
  nights: readonly NightHours[],
  change = 0,
): PlannedNights => {
  const today = targets.map(({ lines }) => varianceAfter(lines, spentOf(lines)));
  const added = targets.map(({ lines }) => lines.map(() => 0));
  const planned = nights.map((night): PlannedNight => {
    const open = targets.flatMap((target, t) => (target.open(night.date) ? t : []));
    const lines = open.flatMap((t) => relativeLines(targets[t]!, today[t]!, added[t]!, String(t)));
    const groups = new Map(open.map((t) => [String(t), groupOf(targets[t]!, today[t]!)]));
    const allocation = allocate(lines, night.dark, { change, groups });
    return { ...night, used: allocation.clock, blocks: blocksOf(allocation, targets, added) };
  });
  return { nights: planned, added };
};

const spentOf = (lines: readonly SubLine[]): number[] => lines.map(({ spent }) => spent);

/** Lines with what earlier nights added, in units of the target's variance today. */
const relativeLines = (
  { lines, weight }: TargetState,
  today: number,
  added: readonly number[],
  group: string,
): SubLine[] =>
  lines.map((line, i) => ({
    ...line,
    group,
    spent: line.spent + added[i]!,
    strength: today > 0 ? line.strength * Math.sqrt(weight / today) : 0,
    ...(line.room === undefined ? {} : { room: Math.max(0, line.room - added[i]!) }),
  }));

const groupOf = ({ enough, weight, up }: TargetState, today: number): Group => ({
  limit: up,
  ...(enough === undefined ? {} : { enough: (enough * weight) / today }),
});

/** The blocks of a night; adds their hours to `added`. */
const blocksOf = (allocation: Allocation, targets: readonly TargetState[], added: number[][]): NightBlock[] =>
  allocation.shares.flatMap((share) => {
    if (!(share.added > 0)) return [];
    const t = Number(share.group);
    const index = targets[t]!.lines.findIndex(({ name }) => name === share.name);
    added[t]![index]! += share.added;
    const { subs, clock } = share;
    return {
      target: targets[t]!.name,
      line: share.name,
      hours: share.added,
      ...(subs === undefined ? {} : { subs }),
      clock,
    };
  });
