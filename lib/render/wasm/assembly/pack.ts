// Rows of a picture to deflate blocks: the loops over bytes of lib/formats/png and lib/formats/deflate, where each is
// written plainly and explained. The host makes the codes in between and decides where everything lies.
import { distances, distanceWords, lengthSymbols, literals, literalWords } from './pack-bits';
import { weighted } from './pack-filter';
import { byteBits, distanceBits, lengthBits } from './pack-matches';

/** Where the host reads and writes: n·log₂ n, prices, entries of lengths, counts, code words. */
export function tableAt(i: i32): usize {
  switch (i) {
    case 0:
      return weighted;
    case 1:
      return byteBits;
    case 2:
      return lengthBits;
    case 3:
      return distanceBits;
    case 4:
      return lengthSymbols;
    case 5:
      return literals;
    case 6:
      return distances;
    case 7:
      return literalWords;
    default:
      return distanceWords;
  }
}

/** The first address that the module does not use itself. */
export function firstFree(): usize {
  return __heap_base;
}

export { countSymbols, endBlocks, putBlock, putFrom, putHeld, putBits, frequencies } from './pack-bits';
export { filterRows } from './pack-filter';
export { findRuns, look, take } from './pack-matches';
export { adler32, crc32 } from './pack-sums';
