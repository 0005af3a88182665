import { basename } from 'node:path';
import { openPlane } from '../formats/open.ts';
import { splitSelector } from '../formats/selector.ts';
import { borderZeros } from '../measure/border.ts';
import type { Channel } from '../measure/measure.ts';
import { inputError, LinewashError } from '../plane/errors.ts';
import { hidePixels } from '../plane/memory-plane.ts';
import type { StripOptions } from '../plane/strips.ts';
import { type FileSource, openFile } from './file-source.ts';

/** An open master. */
export interface Master extends Channel {
  readonly bytes: FileSource;
  /** The file as given, selector included. */
  readonly spelling: string;
}

export interface OpenOptions extends StripOptions {
  /** Whether exact zeros that hang together with the border are missing data; default 'undefined'. */
  readonly zeros?: 'undefined' | 'data' | undefined;
}

/**
 * Opens masters by channel name. `closeMasters` must be called at the end.
 * @throws LinewashError 'input' or 'format' naming the file; nothing stays open then.
 */
export const openMasters = async (
  files: Readonly<Record<string, string>>,
  options: OpenOptions = {},
): Promise<Master[]> => {
  const masters: Master[] = [];
  try {
    for (const [name, spelling] of Object.entries(files)) masters.push(await openMaster(name, spelling, options));
    return masters;
  } catch (cause) {
    await closeMasters(masters);
    throw cause;
  }
};

export const closeMasters = async (masters: readonly Master[]): Promise<void> => {
  await Promise.all(masters.map(({ bytes }) => bytes.close()));
};

const openMaster = async (name: string, spelling: string, options: OpenOptions): Promise<Master> => {
  const { bytes, selector } = await openSpelling(spelling);
  try {
    const source = await openPlane(bytes, selector);
    const mask = options.zeros === 'data' ? undefined : await borderZeros(source, options);
    return { name, spelling, bytes, source: mask ? hidePixels(source, mask) : source };
  } catch (cause) {
    await bytes.close();
    throw cause;
  }
};

/** A file whose own name looks like a selector is taken as it is. */
const openSpelling = async (spelling: string) => {
  const { file, selector } = splitSelector(spelling);
  if (file === spelling) return { bytes: await openFile(file), selector };
  try {
    return { bytes: await openFile(spelling), selector: {} };
  } catch (cause) {
    if (!(cause instanceof LinewashError)) throw cause;
    return { bytes: await openFile(file, spelling), selector };
  }
};

/** @throws LinewashError 'input' where one file stands for two lines. */
export const refuseSameFile = (files: Readonly<Record<string, string>>): void => {
  const seen = new Map<string, string>();
  for (const [name, file] of Object.entries(files)) {
    const other = seen.get(file);
    if (other !== undefined)
      throw inputError(
        `${basename(file)} is given for both ${other} and ${name}`,
        'give each line its own master',
        file,
      );
    seen.set(file, name);
  }
};
