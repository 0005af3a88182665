import { basename, dirname } from 'node:path';
import { isColourPicture } from '../../formats/colour-planes.ts';
import { openPlane } from '../../formats/open.ts';
import { LinewashError } from '../../plane/errors.ts';
import { targetKey } from '../../tally/target-name.ts';
import { openFile } from '../files/file-source.ts';

/** A picture of stars, and what speaks of its target. */
export interface StarPicture {
  readonly path: string;
  /** In pixels. */
  readonly width: number;
  readonly height: number;
  /** The target in its header. */
  readonly object?: string;
  /** What is left of its name without the word for stars. */
  readonly name: string;
}

/** A master whose target is known, and what is left of its name without its line. */
export interface Named {
  readonly path: string;
  readonly target: string;
  readonly name: string;
}

const WORD = /^stars?$/i;

/** A file as a picture of stars: its name says so, as `Rim-stars.tif`, and it has colour. Undefined for other files. */
export const starPicture = async (path: string): Promise<StarPicture | undefined> => {
  const words = basename(path)
    .replace(/\.[^.]+(\.gz)?$/, '')
    .split(/[\s_.-]+/);
  if (!words.some((word) => WORD.test(word))) return undefined;
  const name = words.filter((word) => word !== '' && !WORD.test(word)).join(' ');
  try {
    const file = await openFile(path);
    try {
      if (!(await isColourPicture(file))) return undefined;
      const { facts, width, height } = await openPlane(file, { plane: 0, display: true });
      const object = facts.object?.trim().normalize('NFC');
      return { path, name, width, height, ...(object && { object }) };
    } finally {
      await file.close();
    }
  } catch (cause) {
    if (cause instanceof LinewashError) return undefined;
    throw cause;
  }
};

/**
 * The target of a picture of stars: the one in its header, else that of masters with the same name, else, for a name
 * that says no more than `stars`, the only one whose masters lie in its folder. Undefined where that is not plain.
 */
export const targetOfStars = (
  { path, object, name }: Omit<StarPicture, 'width' | 'height'>,
  masters: readonly Named[],
): string | undefined => {
  if (object !== undefined && masters.some(({ target }) => sameName(target, object))) return object;
  const alike = masters.filter((master) =>
    name === '' ? dirname(master.path) === dirname(path) : sameName(master.name, name) || sameName(master.target, name),
  );
  const targets = new Map(alike.map(({ target }) => [targetKey(target), target]));
  return targets.size === 1 ? [...targets.values()][0] : undefined;
};

const sameName = (a: string, b: string): boolean => targetKey(a) === targetKey(b);
