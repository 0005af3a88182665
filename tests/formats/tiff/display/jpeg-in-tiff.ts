import { buildTiff, type Tag } from '../build.ts';

/** A TIFF with one strip: a whole JPEG file in colour, its tables included (TIFF Technical Note 2). */
export const jpegInTiff = (jpeg: Uint8Array, width: number, height: number, ...more: Tag[]): Uint8Array => {
  const tags: Tag[] = [
    [256, 4, [width]],
    [257, 4, [height]],
    [258, 3, [8, 8, 8]],
    [259, 3, [7]],
    [262, 3, [6]],
    [277, 3, [3]],
    [278, 4, [height]],
    ...more,
  ];
  return buildTiff([{ tags, chunks: [jpeg] }], {}, jpeg.length + 1000);
};
