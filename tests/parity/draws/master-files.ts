import { BYTES, isFloat, type Stored, writeSample } from './stored.ts';

/** One master as a file holds it; rows count as stored. */
export interface MasterForm {
  readonly format: 'fits' | 'tiff';
  readonly type: Stored;
  readonly width: number;
  readonly height: number;
  readonly numbers: readonly number[];
  /** FITS: physical = zero + scale · stored. */
  readonly zero: number;
  readonly scale: number;
  /** The stored number that stands for no data. */
  readonly blank: number | undefined;
  /** TIFF. */
  readonly bigEndian: boolean;
  readonly rowsPerStrip: number;
}

const samplesOf = ({ type, numbers }: MasterForm, little: boolean): Uint8Array => {
  const bytes = new Uint8Array(numbers.length * BYTES[type]);
  const view = new DataView(bytes.buffer);
  for (const [i, value] of numbers.entries()) writeSample(view, i * BYTES[type], type, value, little);
  return bytes;
};

const card = (key: string, value: string) => `${key.padEnd(8)}= ${value.padStart(20)}`.padEnd(80);
const padded = (length: number) => Math.ceil(length / 2880) * 2880;

/** FITS standard 4.0: cards of 80 letters, blocks of 2880 bytes, big-endian. */
const fitsBytes = (form: MasterForm): Uint8Array => {
  const { type, width, height, zero, scale, blank } = form;
  const cards = [
    card('SIMPLE', 'T'),
    card('BITPIX', String((isFloat(type) ? -8 : 8) * BYTES[type])),
    card('NAXIS', '2'),
    card('NAXIS1', String(width)),
    card('NAXIS2', String(height)),
    ...(zero !== 0 || scale !== 1 ? [card('BZERO', numberText(zero)), card('BSCALE', numberText(scale))] : []),
    ...(blank === undefined ? [] : [card('BLANK', String(blank))]),
    'END'.padEnd(80),
  ].join('');
  const data = samplesOf(form, false);
  const bytes = new Uint8Array(padded(cards.length) + padded(data.length)).fill(32, 0, padded(cards.length));
  bytes.set(new TextEncoder().encode(cards));
  bytes.set(data, padded(cards.length));
  return bytes;
};

const numberText = (value: number): string => (Number.isInteger(value) ? String(value) : value.toExponential());

const SAMPLE_FORMAT = { u: 1, i: 2, f: 3 } as const;

/** TIFF 6.0: one directory, uncompressed strips; the no-data value as text in tag 42113. */
const tiffBytes = (form: MasterForm): Uint8Array => {
  const { type, width, height, blank, bigEndian, rowsPerStrip } = form;
  const little = !bigEndian;
  const data = samplesOf(form, little);
  const strips = Math.ceil(height / rowsPerStrip);
  const stripBytes = rowsPerStrip * width * BYTES[type];
  const blankText = blank === undefined ? undefined : `${blank}\0`;
  const start = 512 + 8 * strips;
  const offsets = Array.from({ length: strips }, (_, i) => start + i * stripBytes);
  const counts = offsets.map((at) => Math.min(stripBytes, start + data.length - at));
  const entries: [tag: number, type: 2 | 3 | 4, values: number[]][] = [
    [256, 4, [width]],
    [257, 4, [height]],
    [258, 3, [8 * BYTES[type]]],
    [259, 3, [1]],
    [262, 3, [1]],
    [273, 4, offsets],
    [277, 3, [1]],
    [278, 4, [rowsPerStrip]],
    [279, 4, counts],
    [339, 3, [SAMPLE_FORMAT[type[0] as 'u' | 'i' | 'f']]],
    ...(blankText === undefined
      ? []
      : [[42113, 2, [...blankText].map((c) => c.charCodeAt(0))] as [number, 2, number[]]]),
  ];
  const bytes = new Uint8Array(start + data.length);
  const view = new DataView(bytes.buffer);
  bytes.set(bigEndian ? [0x4d, 0x4d, 0, 42] : [0x49, 0x49, 42, 0]);
  view.setUint32(4, 8, little);
  view.setUint16(8, entries.length, little);
  let free = 10 + 12 * entries.length + 4;
  for (const [i, [tag, kind, values]] of entries.entries()) {
    const at = 10 + 12 * i;
    const size = [0, 0, 1, 2, 4][kind]!;
    view.setUint16(at, tag, little);
    view.setUint16(at + 2, kind, little);
    view.setUint32(at + 4, values.length, little);
    const inline = size * values.length <= 4;
    const to = inline ? at + 8 : free;
    if (!inline) {
      view.setUint32(at + 8, free, little);
      free += 2 * Math.ceil((size * values.length) / 2);
    }
    for (const [k, value] of values.entries())
      if (size === 1) view.setUint8(to + k, value);
      else if (size === 2) view.setUint16(to + 2 * k, value, little);
      else view.setUint32(to + 4 * k, value, little);
  }
  if (free > start) throw new RangeError('the directory runs into the pixels');
  bytes.set(data, start);
  return bytes;
};

export const masterBytes = (form: MasterForm): Uint8Array =>
  form.format === 'fits' ? fitsBytes(form) : tiffBytes(form);

/** Whether 32-bit floats hold every value that such a file can have. */
export const isExact = ({ type, zero, scale }: MasterForm): boolean =>
  scale === 1 && Number.isInteger(zero) && ['u8', 'i8', 'u16', 'i16', 'f16', 'f32'].includes(type);

/** Physical values, top row first; NaN where there is no data, infinite values among them. */
export const physicalOf = (form: MasterForm): Float64Array => {
  const { format, width, height, numbers, zero, scale, blank } = form;
  const out = new Float64Array(width * height);
  for (let y = 0; y < height; y++)
    for (let x = 0; x < width; x++) {
      const raw = numbers[y * width + x]!;
      const value = raw === blank ? Number.NaN : zero + scale * raw;
      // The first stored row of FITS is the bottom one.
      out[(format === 'fits' ? height - 1 - y : y) * width + x] = Number.isFinite(value) ? value : Number.NaN;
    }
  return out;
};
