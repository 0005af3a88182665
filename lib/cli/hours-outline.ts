import { readFile } from 'node:fs/promises';
import { InvalidArgumentError } from 'commander';
import { systemError } from '../node/files/reason.ts';
import { inputError } from '../plane/errors.ts';
import type { Rings } from '../plane/outline.ts';

/** An outline of a report, counted from 1 as its table counts. */
export interface OutlineChoice {
  readonly file: string;
  readonly number: number;
}

/** `faint.json#2`. */
export const outlineChoice = (text: string): OutlineChoice => {
  const match = /^(.+)#(\d{1,6})$/.exec(text);
  if (match === null || Number(match[2]) < 1)
    throw new InvalidArgumentError('Give the file and the number of the outline, for example faint.json#2.');
  return { file: match[1]!, number: Number(match[2]) };
};

/**
 * The outline that was chosen.
 * @throws LinewashError 'input' where the file is no such report, or holds no such outline
 */
export const readOutline = async ({ file, number }: OutlineChoice): Promise<Rings> => {
  const text = await readFile(file, 'utf8').catch((cause: unknown) => {
    throw systemError(cause) ?? cause;
  });
  const features = featuresIn(text);
  if (features === undefined)
    throw inputError('is no report of faint features', 'write one with linewash faint … --json', file);
  const feature = features[number - 1];
  if (feature === undefined)
    throw inputError(`holds ${features.length} outlines, not ${number}`, 'give the number of one of them', file);
  if (!isOutline(feature)) throw inputError(`feature ${number} has no outline`, 'write the report again', file);
  return feature.outline;
};

const featuresIn = (text: string): readonly unknown[] | undefined => {
  try {
    const report: unknown = JSON.parse(text);
    const features = (report as { features?: unknown } | null)?.features;
    return Array.isArray(features) ? features : undefined;
  } catch {
    return undefined;
  }
};

const isOutline = (feature: unknown): feature is { readonly outline: Rings } => {
  const outline = (feature as { outline?: unknown } | null)?.outline;
  const isRing = (ring: unknown) =>
    Array.isArray(ring) && ring.length >= 6 && ring.length % 2 === 0 && ring.every(Number.isFinite);
  return Array.isArray(outline) && outline.length > 0 && outline.every(isRing);
};
