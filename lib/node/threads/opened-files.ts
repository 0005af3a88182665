import { openPlane } from '../../formats/open.ts';
import type { FilePicture } from '../../plane/origin.ts';
import type { FileAccess } from '../../render/open-input.ts';
import type { FileSource } from '../files/file-source.ts';
import { syncSource } from '../files/sync-source.ts';
import { openStored, type StoredBytes } from './stored-bytes.ts';

/** Files of one thread, each opened when first read: for rows as they are stored and for pictures to be decoded. */
export const openedFiles = (): FileAccess & { close(): void } => {
  const sources = new Map<string, FileSource>();
  const stored = new Map<string, StoredBytes>();
  const kept = <T>(files: Map<string, T>, { at }: FilePicture, open: (path: string) => T): T => {
    const path = at as string;
    const file = files.get(path) ?? open(path);
    files.set(path, file);
    return file;
  };
  return {
    open: (picture) =>
      openPlane(
        kept(sources, picture, (path) => syncSource(path, picture.file)),
        picture.selector,
        picture.seekPoints,
      ),
    read: (picture, start, into) => kept(stored, picture, () => openStored(picture)).read(start, into),
    close() {
      for (const file of [...sources.values(), ...stored.values()]) void file.close();
    },
  };
};
