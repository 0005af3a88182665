/** Where a dropped file lay. */
export interface Place {
  /** With the folders that it lay in: `season/M 31/H.fits`. */
  readonly path: string;
  /** What was dropped, the file or a folder around it, where the browser can open it again on another visit. */
  readonly root?: FileSystemHandle | undefined;
}

const places = new WeakMap<Blob, Place>();

export const notePlace = (file: Blob, place: Place): void => void places.set(file, place);

export const placeOf = (file: Blob | string): Place | undefined =>
  typeof file === 'string' ? undefined : places.get(file);
