import type { FilePicture } from '../../plane/origin.ts';
import type { PlaneSource } from '../../plane/plane.ts';
import type { FileAccess } from '../../render/open-input.ts';
import { blobSource } from '../bytes/blob-source.ts';
import { openSource } from '../bytes/open-source.ts';

/** How a worker gets at the files of one piece of work: each is opened once. */
export const blobFiles = (): FileAccess => {
  const sources = new Map<Blob, ReturnType<typeof blobSource>>();
  const bytesOf = ({ at, file }: FilePicture) => {
    const source = sources.get(at as Blob) ?? blobSource(file, at as Blob);
    sources.set(at as Blob, source);
    return source;
  };
  return {
    open: async (picture): Promise<PlaneSource> =>
      Object.keys(picture.selector).length === 0 && picture.seekPoints === undefined
        ? openSource(picture.file, picture.at as Blob)
        : (await import('../../formats/open.ts')).openPlane(bytesOf(picture), picture.selector, picture.seekPoints),
    read: async (picture, start, into) => into.set(await bytesOf(picture).read(start, into.length)),
  };
};
