import { createHash, randomBytes } from 'node:crypto';
import { readFileSync, readlinkSync, rmSync } from 'node:fs';
import { readdir, stat, unlink } from 'node:fs/promises';
import { hostname } from 'node:os';
import { basename, dirname, join, resolve } from 'node:path';

/** `.NAME.PLACE-PROCESS-RANDOM.linewash-part`: who writes it can be read from the name alone. */
const TEMPORARY = /^\..*\.([0-9a-f]{8})-(\d+)-[0-9a-f]{12}\.linewash-part$/s;

/** A temporary file of another machine, or of one that was restarted, is given up after this long, in milliseconds. */
const GIVEN_UP = 24 * 3600_000;

/** The longest part of the final name that the temporary one repeats, in bytes: file systems take 255 in all. */
const MOST_NAME = 180;

const readIfThere = (read: () => string): string => {
  try {
    return read();
  } catch {
    return '';
  }
};

/**
 * Stands for the set of processes among which process numbers are unique: one start of one machine and, on Linux, one
 * process namespace.
 */
const PLACE = createHash('sha256')
  .update(hostname())
  .update(readIfThere(() => readFileSync('/proc/sys/kernel/random/boot_id', 'utf8')))
  .update(readIfThere(() => readlinkSync('/proc/self/ns/pid')))
  .digest('hex')
  .slice(0, 8);

/** Whether a file's name is that of a temporary file of linewash. */
export const isTemporary = (name: string): boolean => TEMPORARY.test(name);

/** The longest start of a text that takes no more than so many bytes of UTF-8. */
export const cutBytes = (text: string, most: number): string => {
  let bytes = 0;
  let end = 0;
  for (const character of text) {
    bytes += Buffer.byteLength(character);
    if (bytes > most) break;
    end += character.length;
  }
  return text.slice(0, end);
};

/** A new name beside the final one. */
export const temporaryFor = (path: string): string => {
  const name = cutBytes(basename(path), MOST_NAME);
  const random = randomBytes(6).toString('hex');
  return join(dirname(path), `.${name}.${PLACE}-${process.pid}-${random}.linewash-part`);
};

/** Temporary files that this thread writes at the moment. */
const own = new Set<string>();

/** Notes that a temporary file is written from now on; returns what notes that it is no more. */
export const noteTemporary = (path: string): (() => void) => {
  own.add(path);
  return () => void own.delete(path);
};

/** Removes what this thread was writing, when the process has to end at once. Never throws. */
export const removeOwnTemporaries = (): void => {
  for (const path of own)
    try {
      rmSync(path, { force: true });
    } catch {
      // The next run into the folder sweeps it.
    }
};

const isRunning = (pid: number): boolean => {
  try {
    process.kill(pid, 0);
    return true;
  } catch (cause) {
    return (cause as NodeJS.ErrnoException).code === 'EPERM';
  }
};

const isStale = async (folder: string, name: string): Promise<boolean> => {
  const [, place, pid] = TEMPORARY.exec(name)!;
  if (place === PLACE && !isRunning(Number(pid))) return true;
  const facts = await stat(join(folder, name)).catch(() => undefined);
  return facts !== undefined && Date.now() - facts.mtimeMs > GIVEN_UP;
};

/**
 * Removes temporary files that nobody writes any more: those of processes of this machine that have ended, and those
 * that have not changed for a day. Files of running processes stay. A folder that cannot be read is left alone.
 * @returns the paths removed
 */
export const sweepTemporaries = async (folder: string): Promise<string[]> => {
  const names = await readdir(folder).catch(() => [] as string[]);
  const removed: string[] = [];
  for (const name of names.filter(isTemporary)) {
    if (!(await isStale(folder, name))) continue;
    const path = join(folder, name);
    await unlink(path).then(
      () => removed.push(path),
      () => {},
    );
  }
  return removed;
};

const swept = new Set<string>();

/** The same once for each folder and thread: before the first file is written to it. */
export const sweepOnce = async (folder: string): Promise<void> => {
  const known = resolve(folder);
  if (swept.has(known)) return;
  swept.add(known);
  await sweepTemporaries(known);
};
