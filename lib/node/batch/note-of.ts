import { LinewashError } from '../../plane/errors.ts';
import { readNote } from '../../recipe/share/note.ts';
import { pictureNote } from '../../recipe/written/open.ts';
import { openFile } from '../files/file-source.ts';
import { nameFault } from '../files/name-fault.ts';

/** What a file on disk says of itself. Nothing in `note` is checked but that it is as linewash wrote it. */
export type Found =
  | { readonly kind: 'none' }
  | { readonly kind: 'foreign'; readonly why: string }
  | { readonly kind: 'ours'; readonly text: string; readonly note: Readonly<Record<string, unknown>> };

/** Looks whether a file exists and carries a note of linewash. */
export const noteOf = async (path: string): Promise<Found> => {
  const file = await openFile(path).catch((cause) => cause as Error);
  if (file instanceof Error) {
    if (!/no such file|part of the path/.test(file.message)) return { kind: 'foreign', why: file.message };
    const taken = await nameFault(path);
    return taken === undefined ? { kind: 'none' } : { kind: 'foreign', why: taken.message };
  }
  try {
    const text = await pictureNote(file);
    const note = text === undefined ? {} : readNote(text);
    if ('linewash' in note) return { kind: 'ours', text: text!, note };
    return { kind: 'foreign', why: 'it is not of linewash' };
  } catch (cause) {
    if (cause instanceof LinewashError) return { kind: 'foreign', why: cause.message };
    throw cause;
  } finally {
    await file.close();
  }
};
