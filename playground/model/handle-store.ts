/** A file that the browser can open again on another visit, where it may. */
export interface KeptHandle {
  readonly file: string;
  readonly size: number;
  /** What was dropped: the file or a folder around it. */
  readonly root: FileSystemHandle;
  /** With the name of what was dropped: `season/M 31/H.fits`. */
  readonly path: string;
}

const NAME = 'linewash';
const STORE = 'handles';
const KEY = 'open';

const asked = <T>(request: IDBRequest<T>): Promise<T> =>
  new Promise((resolve, reject) => {
    request.onsuccess = () => resolve(request.result);
    request.onerror = () => reject(request.error);
  });

/** Does one thing with the store. Rejects where the browser keeps none. */
const withStore = async <T>(mode: IDBTransactionMode, use: (store: IDBObjectStore) => IDBRequest<T>): Promise<T> => {
  const opening = indexedDB.open(NAME, 1);
  opening.onupgradeneeded = () => opening.result.createObjectStore(STORE);
  const db = await asked(opening);
  try {
    return await asked(use(db.transaction(STORE, mode).objectStore(STORE)));
  } finally {
    db.close();
  }
};

/** Keeps handles in the place of those before. */
export const keepHandles = async (handles: readonly KeptHandle[]): Promise<void> => {
  await withStore('readwrite', (store) => store.put(handles, KEY));
};

/** The handles that were kept; none where the browser keeps none. */
export const keptHandles = async (): Promise<readonly KeptHandle[]> => {
  const found = await withStore('readonly', (store) => store.get(KEY)).catch(() => undefined);
  return Array.isArray(found) ? found : [];
};

type Asking = FileSystemHandle & {
  queryPermission?(wish: { mode: 'read' }): Promise<PermissionState>;
  requestPermission?(wish: { mode: 'read' }): Promise<PermissionState>;
};

/** Whether a file may be read; asks the user where `ask`, which needs a click to have come first. */
export const mayRead = async ({ root }: KeptHandle, ask: boolean): Promise<boolean> => {
  const handle = root as Asking;
  const state = await handle.queryPermission?.({ mode: 'read' });
  if (state === 'granted' || !ask) return state === 'granted';
  return (await handle.requestPermission?.({ mode: 'read' })) === 'granted';
};

/** The file; undefined where it is gone or may not be read. */
export const fileAt = async ({ root, path }: KeptHandle): Promise<File | undefined> => {
  try {
    const names = path.split('/').slice(1);
    const file = names.pop();
    if (file === undefined) return await (root as FileSystemFileHandle).getFile();
    let folder = root as FileSystemDirectoryHandle;
    for (const name of names) folder = await folder.getDirectoryHandle(name);
    return await (await folder.getFileHandle(file)).getFile();
  } catch {
    return undefined;
  }
};
