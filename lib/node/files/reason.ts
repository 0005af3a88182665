import { LinewashError } from '../../plane/errors.ts';

const REASONS: Readonly<Record<string, string>> = {
  EADDRINUSE: 'another program uses it',
  ENOENT: 'there is no such file or folder',
  EACCES: 'permission denied',
  EPERM: 'not permitted',
  EISDIR: 'it is a folder',
  ENOTDIR: 'a part of the path is not a folder',
  EROFS: 'the file system is read-only',
  ENOSPC: 'the disk is full',
  EDQUOT: 'the quota is used up',
  EEXIST: 'it exists already',
  EMFILE: 'too many files are open',
  ENFILE: 'too many files are open on this machine',
  ENOMEM: 'the memory is used up',
  ELOOP: 'it is a chain of links that leads nowhere',
  EFBIG: 'the file is larger than the system allows',
  EBUSY: 'it is in use',
  ENXIO: 'there is no such device',
  EAGAIN: 'the system has nothing left to give',
  ENAMETOOLONG: 'the name is too long',
  EIO: 'the disk reported an error',
};

/** A system error in words. */
export const reasonOf = (cause: unknown): string => {
  const code = (cause as NodeJS.ErrnoException | undefined)?.code;
  if (code !== undefined && code in REASONS) return REASONS[code]!;
  return cause instanceof Error ? cause.message : String(cause);
};

const ADVICE: Readonly<Record<string, string>> = {
  EMFILE: 'let more files be open at a time, for example with `ulimit -n 1024`',
  ENFILE: 'close other programs',
  ENOSPC: 'free some space',
  EDQUOT: 'free some space',
  ENOMEM: 'close other programs, or use fewer threads',
};

/** What the system refused, as an error in words; undefined for any other error. */
export const systemError = (cause: unknown): LinewashError | undefined => {
  const { code, path } = (cause ?? {}) as NodeJS.ErrnoException;
  if (!(cause instanceof Error) || code === undefined || !/^E[A-Z0-9]+$/.test(code)) return undefined;
  return new LinewashError({
    tag: 'output',
    message: code in REASONS ? REASONS[code]! : `the system refused: ${code}`,
    advice: ADVICE[code],
    file: typeof path === 'string' ? path : undefined,
  });
};
