import type { FilePicture } from './origin.ts';
import type { PlaneSource } from './plane.ts';

/** The source of a picture in a file, with what other threads need to open it as well. */
export const fromFile = (source: PlaneSource, picture: FilePicture): PlaneSource => {
  const { raw, type, width, height, seekPoints } = source;
  const opened = seekPoints === undefined ? picture : { ...picture, seekPoints };
  return { ...source, origin: { step: 'file', picture: opened, rows: raw && { raw, type, width, height } } };
};
