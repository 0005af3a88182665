import type { FilePicture } from '../../plane/origin.ts';
import type { PlaneSource } from '../../plane/plane.ts';
import { openedFiles } from './opened-files.ts';

/** Where reading can begin inside one compressed file. */
export interface PlacesFound {
  readonly piece: number;
  readonly seekPoints: PlaneSource['seekPoints'];
}

/** One thread's share of indexing compressed files. It reports no errors: opening the file later does. */
export const createPlaceRunner = (pictures: readonly FilePicture[]) => {
  const files = openedFiles();
  const places: PlacesFound[] = [];
  return {
    async run(piece: number): Promise<void> {
      const source = await files.open(pictures[piece]!).catch(() => undefined);
      if (source?.seekPoints) places.push({ piece, seekPoints: source.seekPoints });
    },
    result: () => ({ places }),
    close: () => files.close(),
  };
};
