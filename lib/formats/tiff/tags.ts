/** Tag numbers by name: TIFF 6.0 (1992), its Technical Notes, and the registered private tags linewash meets. */
export const TAG = {
  NewSubfileType: 254,
  SubfileType: 255,
  ImageWidth: 256,
  ImageLength: 257,
  BitsPerSample: 258,
  Compression: 259,
  PhotometricInterpretation: 262,
  FillOrder: 266,
  DocumentName: 269,
  ImageDescription: 270,
  Make: 271,
  Model: 272,
  StripOffsets: 273,
  Orientation: 274,
  SamplesPerPixel: 277,
  RowsPerStrip: 278,
  StripByteCounts: 279,
  XResolution: 282,
  YResolution: 283,
  PlanarConfiguration: 284,
  PageName: 285,
  ResolutionUnit: 296,
  Software: 305,
  DateTime: 306,
  Artist: 315,
  HostComputer: 316,
  Predictor: 317,
  TileWidth: 322,
  TileLength: 323,
  TileOffsets: 324,
  TileByteCounts: 325,
  SubIfds: 330,
  ExtraSamples: 338,
  SampleFormat: 339,
  JpegTables: 347,
  YCbCrCoefficients: 529,
  ReferenceBlackWhite: 532,
  Copyright: 33432,
  IccProfile: 34675,
  GdalNoData: 42113,
} as const;

const NAMES: ReadonlyMap<number, string> = new Map(Object.entries(TAG).map(([name, tag]) => [tag, name]));

/** What a tag is called in messages. */
export const tagName = (tag: number): string => NAMES.get(tag) ?? `tag ${tag}`;

/** Field types: number in the file, by name. 16 to 18 are BigTIFF's. */
export const FIELD = {
  byte: 1,
  ascii: 2,
  short: 3,
  long: 4,
  rational: 5,
  sbyte: 6,
  undefined: 7,
  sshort: 8,
  slong: 9,
  srational: 10,
  float: 11,
  double: 12,
  ifd: 13,
  long8: 16,
  slong8: 17,
  ifd8: 18,
} as const;

/** Bytes of one value of each field type, indexed by the type's number; 0 where the number is not a type. */
export const FIELD_BYTES: readonly number[] = [0, 1, 1, 2, 4, 8, 1, 1, 2, 4, 8, 4, 8, 4, 0, 0, 8, 8, 8];
