import type { Dice } from './dice.ts';
import type { MasterForm } from './master-files.ts';
import { BYTES, drawStored, endsOf, isFloat, type Stored } from './stored.ts';

/** What FITS means by BITPIX with this BZERO: a stored type, and the offset that turns its sign. */
const FITS_TYPES: readonly (readonly [Stored, zero: number])[] = [
  ['u8', 0],
  ['u8', -128],
  ['i16', 0],
  ['i16', 2 ** 15],
  ['i32', 0],
  ['i32', 2 ** 31],
  ['i64', 0],
  ['f32', 0],
  ['f64', 0],
];

const TIFF_TYPES: readonly Stored[] = ['u8', 'i8', 'u16', 'i16', 'u32', 'i32', 'i64', 'f16', 'f32', 'f64'];

/** A master of this size in any form that is read. */
export const drawMaster = (dice: Dice, width: number, height: number): MasterForm => {
  const format = dice.pick(['fits', 'tiff'] as const);
  const [type, turn] = format === 'fits' ? dice.pick(FITS_TYPES) : [dice.pick(TIFF_TYPES), 0];
  const numbers = drawStored(dice, type, width * height);
  const scaled = format === 'fits' && dice.chance(0.25);
  const size = isFloat(type) ? 1 : 2 ** (8 * BYTES[type]);
  return {
    format,
    type,
    width,
    height,
    numbers,
    zero: scaled ? (dice.chance(0.3) ? 0 : size * dice.between(-2, 2)) : turn,
    scale: scaled ? dice.pick([1, -1, 1]) * dice.scale(1e-6, 1e3) : 1,
    blank: !isFloat(type) && dice.chance(0.3) ? drawBlank(dice, type, numbers) : undefined,
    bigEndian: dice.chance(0.5),
    rowsPerStrip: dice.whole(1, height),
  };
};

const drawBlank = (dice: Dice, type: Stored, numbers: readonly number[]): number => {
  const blank = dice.pick([...endsOf(type), 0, dice.pick(numbers)]);
  // A master without a single pixel of data has nothing to measure.
  return numbers.every((v) => v === blank) ? endsOf(type)[1] : blank;
};
