import type { ByteSink } from '../plane/bytes.ts';
import type { OutputSample, PictureEncoder, PictureInfo, PictureLayout, PictureWriter } from '../plane/picture.ts';
import { fitsLayout, fitsWriter } from './fits/write.ts';
import { pngEncoder, pngWriter } from './png/write.ts';
import { tiffLayout, tiffWriter } from './tiff/write.ts';

/** A format that pictures can be written in: with a layout or with an encoder, by which several threads write it. */
export type PictureFormat = {
  readonly name: string;
  readonly extensions: readonly string[];
  /** Sample types it can hold, the default first. */
  readonly samples: readonly OutputSample[];
  readonly mime: string;
  /** Begins a picture in the sink; its rows then go to what this gives. */
  writer(sink: ByteSink, info: PictureInfo): Promise<PictureWriter> | PictureWriter;
} & (
  | {
      /** Where everything lies, for formats whose pixels can be written in any order. */
      readonly layout: (info: PictureInfo) => PictureLayout;
      readonly encoder?: undefined;
    }
  | {
      /** Encodes bands apart, for formats that compress. */
      readonly encoder: (info: PictureInfo) => PictureEncoder;
      readonly layout?: undefined;
    }
);

/** Every format of written pictures. A new one is one writer and one entry here. */
export const PICTURE_FORMATS: readonly PictureFormat[] = [
  {
    name: 'TIFF',
    extensions: ['tif', 'tiff'],
    samples: ['u16', 'u8', 'f32'],
    mime: 'image/tiff',
    writer: tiffWriter,
    layout: tiffLayout,
  },
  {
    name: 'PNG',
    extensions: ['png'],
    samples: ['u16', 'u8'],
    mime: 'image/png',
    writer: pngWriter,
    encoder: pngEncoder,
  },
  {
    name: 'FITS',
    extensions: ['fits', 'fit', 'fts'],
    samples: ['f32'],
    mime: 'image/fits',
    writer: fitsWriter,
    layout: fitsLayout,
  },
];

/** The format that a file name's ending asks for, if any. */
export const formatOf = (file: string): PictureFormat | undefined => {
  const ending = /\.([^./\\]+)$/.exec(file)?.[1]?.toLowerCase();
  return PICTURE_FORMATS.find(({ extensions }) => ending !== undefined && extensions.includes(ending));
};
