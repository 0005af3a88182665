import { toRgb } from './colour.ts';
import { getDecoder } from './jpeg-decoder.ts';
import { checkStream, type JpegShape } from './jpeg-marks.ts';

/** The number of JPEG among the compressions of TIFF. */
const JPEG = 7;

/**
 * One strip or tile of JPEG, decoded by geotiff: samples of 8 bits, pixels without gaps, as many rows as it holds; colours
 * stored as luminance and differences become red, green and blue. A decoder serves one stream, for it keeps restart intervals.
 * @throws JpegFault where its marks are not as expected; whatever the decoder throws on damaged data
 */
export const decodeJpeg = async (
  bytes: Uint8Array<ArrayBuffer>,
  tables: Uint8Array | undefined,
  shape: JpegShape,
): Promise<Uint8Array> => {
  const thinning = checkStream(bytes, shape);
  const form = { tileWidth: shape.width, tileHeight: shape.rows[0], predictor: 1, bitsPerSample: 8 };
  const parameters = { ...form, planarConfiguration: 1, ...(tables && { JPEGTables: tables }) };
  const decoder = await getDecoder(JPEG, parameters);
  const pixels = new Uint8Array((await decoder.decode(bytes.buffer)) as ArrayBuffer);
  if (shape.differences) toRgb(pixels, shape.width, thinning);
  return pixels;
};
