import type { ByteSink } from '../plane/bytes.ts';
import type { OutputSample, PictureEncoder, PictureInfo, PictureLayout, PictureWriter } from '../plane/picture.ts';
import { encodedWriter } from './encoded-writer.ts';
import { fitsLayout, fitsWriter } from './fits/write.ts';
import { tiffLayout, tiffWriter } from './tiff/write.ts';

type EncoderFor = (info: PictureInfo) => Promise<PictureEncoder>;

/** How a format with an encoder writes rows as they come. */
const byEncoder = (encoder: EncoderFor) => ({
  encoder,
  writer: async (sink: ByteSink, info: PictureInfo) => encodedWriter(sink, info, await encoder(info)),
});

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
      /** Encodes bands apart, for formats that compress; loaded with the first picture of its kind. */
      readonly encoder: (info: PictureInfo) => Promise<PictureEncoder>;
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
    ...byEncoder(async (info) => (await import('./png/write.ts')).pngEncoder(info)),
  },
  {
    name: 'JPEG',
    extensions: ['jpg', 'jpeg'],
    samples: ['u8'],
    mime: 'image/jpeg',
    ...byEncoder(async (info) => (await import('./jpeg/write.ts')).jpegEncoder(info)),
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

/** The endings of formats that hold samples of a type, in words: `.tif, .png or .jpg`. */
export const endingsFor = (sample: OutputSample): string => {
  const endings = PICTURE_FORMATS.filter(({ samples }) => samples.includes(sample)).map((f) => `.${f.extensions[0]}`);
  return `${endings.slice(0, -1).join(', ')} or ${endings.at(-1)}`;
};
