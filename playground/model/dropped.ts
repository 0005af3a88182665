import { PICTURE_NAME } from '../../lib/tally/path.ts';

/** A file that came, with the folders that it lay in: `season/2026-01-31/H-001.fits`. */
export interface DroppedFile {
  readonly path: string;
  readonly file: File;
}

/** Nobody mixes so many masters: more pictures than these are subs. */
const MOST_MASTERS = 30;

/** Whether files are sub-exposures to be counted, not masters to be opened. */
export const areSubs = (files: readonly DroppedFile[]): boolean =>
  files.filter(({ path }) => PICTURE_NAME.test(path)).length > MOST_MASTERS;

/** Files and folders of a drop. Must be called while the drop is handled: entries are gone afterwards. */
export const droppedFiles = (dropped: DataTransfer): Promise<DroppedFile[]> => {
  const items = [...dropped.items].filter(({ kind }) => kind === 'file');
  const found = items.map((item) => {
    const entry = item.webkitGetAsEntry();
    const file = item.getAsFile();
    if (entry?.isDirectory) return filesIn(entry as FileSystemDirectoryEntry, entry.name);
    return Promise.resolve(file === null ? [] : [{ path: file.name, file }]);
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
