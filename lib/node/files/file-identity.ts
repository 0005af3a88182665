import { statSync } from 'node:fs';
import { inputError } from '../../plane/errors.ts';
import { reasonOf } from './reason.ts';

export interface FileFacts {
  /** What tells whether a file is still the same: device, inode, size and the times of its last changes. */
  readonly identity: string;
  /** In bytes. */
  readonly size: number;
}

/** @throws LinewashError 'input' where there is no such file any more */
export const fileFacts = (path: string): FileFacts => {
  try {
    const { dev, ino, size, mtimeNs, ctimeNs } = statSync(path, { bigint: true });
    return { identity: [dev, ino, size, mtimeNs, ctimeNs].join(':'), size: Number(size) };
  } catch (cause) {
    throw inputError(`cannot be opened: ${reasonOf(cause)}`, 'check the name and the folder', path);
  }
};

/** The identity alone. @throws LinewashError as `fileFacts` */
export const fileIdentity = (path: string): string => fileFacts(path).identity;

/** A small memory of what files gave, for as long as the process lives. */
export interface Recollection<T> {
  get(key: string): T | undefined;
  set(key: string, value: T): void;
}

/** One of so many findings at most; what was not asked for longest is dropped. */
export const recollection = <T>(most: number): Recollection<T> => {
  const known = new Map<string, T>();
  return {
    get(key) {
      const value = known.get(key);
      if (value !== undefined) {
        known.delete(key);
        known.set(key, value);
      }
      return value;
    },
    set(key, value) {
      known.delete(key);
      known.set(key, value);
      if (known.size > most) known.delete(known.keys().next().value!);
    },
  };
};
