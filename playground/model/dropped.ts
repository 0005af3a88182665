import { FEWEST_SUBS } from '../../lib/tally/holds-subs.ts';
import { PICTURE_NAME } from '../../lib/tally/path.ts';
import { notePlace } from './places.ts';

/** A file that came, with the folders that it lay in: `season/2026-01-31/H-001.fits`. */
export interface DroppedFile {
  readonly path: string;
  readonly file: File;
}

/** Whether there are so few pictures that none of their lines can be a row of subs. */
export const tooFewForSubs = (files: readonly DroppedFile[]): boolean =>
  files.filter(({ path }) => PICTURE_NAME.test(path)).length < FEWEST_SUBS;

/** An item of a drop in browsers that can open what was dropped again on another visit. */
type Reopenable = DataTransferItem & { getAsFileSystemHandle?(): Promise<FileSystemHandle | null> };

/**
 * Files and folders of a drop; where they lay is noted. Must be called while the drop is handled: entries are gone
 * afterwards.
 */
export const droppedFiles = (dropped: DataTransfer): Promise<DroppedFile[]> => {
  const items = [...dropped.items].filter(({ kind }) => kind === 'file');
  const found = items.map(async (item: Reopenable) => {
    const entry = item.webkitGetAsEntry();
    const file = item.getAsFile();
    const handle = item.getAsFileSystemHandle?.().catch(() => null);
    const files = entry?.isDirectory
      ? await filesIn(entry as FileSystemDirectoryEntry, entry.name)
      : file === null
        ? []
        : [{ path: file.name, file }];
    const root = (await handle) ?? undefined;
    for (const one of files) notePlace(one.file, { path: one.path, root });
    return files;
  });
  return Promise.all(found).then((parts) => parts.flat());
};

/** Files of a folder and of those in it, hidden ones left out; what cannot be read is passed over. */
const filesIn = async (folder: FileSystemDirectoryEntry, path: string): Promise<DroppedFile[]> => {
  const reader = folder.createReader();
  const files: DroppedFile[] = [];
  for (;;) {
    const entries = await new Promise<FileSystemEntry[]>((resolve) => reader.readEntries(resolve, () => resolve([])));
    if (entries.length === 0) return files;
    for (const entry of entries) {
      if (entry.name.startsWith('.')) continue;
      const at = `${path}/${entry.name}`;
      if (entry.isDirectory) {
        for (const one of await filesIn(entry as FileSystemDirectoryEntry, at)) files.push(one);
        continue;
      }
      const file = await new Promise<File | undefined>((resolve) =>
        (entry as FileSystemFileEntry).file(resolve, () => resolve(undefined)),
      );
      if (file !== undefined) files.push({ path: at, file });
    }
  }
};
