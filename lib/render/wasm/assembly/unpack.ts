// Compressed masters: the loops over bits of lib/formats/fits, where each is written plainly and explained.

/** The first address that the module does not use itself. */
export function firstFree(): usize {
  return __heap_base;
}

export { crc32After } from './pack-sums';
export {
  bitCountLeft,
  bitsLeft,
  codePlace,
  decodeCodes,
  inputAt,
  outputAt,
  setCodes,
} from './unpack-codes';
export { decodeRice } from './unpack-rice';
