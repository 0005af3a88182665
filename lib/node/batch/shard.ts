import type { BatchWork } from './jobs.ts';

/** Part `index` of `count`, from 1. */
export interface Shard {
  readonly index: number;
  readonly count: number;
}

/**
 * The jobs of one part: neighbours stay together, so that masters of a target are read by few parts, and all parts
 * together are the whole. Without a sheet, which shows the whole.
 */
export const shardOf = ({ into, jobs }: BatchWork, { index, count }: Shard): BatchWork => ({
  into,
  jobs: jobs.filter((_, i) => Math.floor((i * count) / jobs.length) === index - 1),
});
