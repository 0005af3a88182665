const REASONS: Readonly<Record<string, string>> = {
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
  ENAMETOOLONG: 'the name is too long',
  EIO: 'the disk reported an error',
};

/** A system error in words. */
export const reasonOf = (cause: unknown): string => {
  const code = (cause as NodeJS.ErrnoException | undefined)?.code;
  if (code !== undefined && code in REASONS) return REASONS[code]!;
  return cause instanceof Error ? cause.message : String(cause);
};
