import { closeSync, fstatSync } from 'node:fs';
import { LinewashError } from '../../plane/errors.ts';
import type { Executor } from '../../plane/executor.ts';
import type { PlaneSource } from '../../plane/plane.ts';
import { openToRead } from '../files/open-sync.ts';
import { readFully } from '../files/read-fully.ts';
import { type FileChoice, splitFiles } from '../files/spelling.ts';

/** Places to begin reading from, by the spelling of the file. */
export type Places = ReadonlyMap<string, PlaneSource['seekPoints']>;

/**
 * Goes through all gzip files at the same time, where there are several and others help: one by one, on the thread that opens
 * them, each would wait for those before it. Files that cannot be read are left to who opens them.
 */
export const placesInside = async (
  spellings: readonly string[],
  executor: Executor | undefined,
): Promise<Places | undefined> => {
  if (executor?.places === undefined) return undefined;
  const choices = (await Promise.all(spellings.map((spelling) => splitFiles(spelling).catch(() => [])))).flat();
  const packed = choices.map((choice) => ({ ...choice, bytes: gzipBytes(choice) })).filter(({ bytes }) => bytes > 0);
  if (packed.length < 2) return undefined;
  const pictures = packed.map(({ spelling, path, selector }) => ({ file: spelling, at: path, selector }));
  const bytes = packed.reduce((sum, file) => sum + file.bytes, 0);
  const found = await executor.places(pictures, bytes);
  return new Map(packed.map(({ spelling }, i) => [spelling, found[i]]));
};

/** The size of a gzip file (RFC 1952, 2.3.1: how it begins); 0 for others, and for what cannot be read. */
const gzipBytes = ({ path, spelling }: FileChoice): number => {
  let file: number;
  try {
    file = openToRead(path, spelling);
  } catch (cause) {
    if (cause instanceof LinewashError) return 0;
    throw cause;
  }
  try {
    const head = new Uint8Array(2);
    readFully(file, 0, head);
    return head[0] === 0x1f && head[1] === 0x8b ? fstatSync(file).size : 0;
  } catch {
    return 0;
  } finally {
    closeSync(file);
  }
};
