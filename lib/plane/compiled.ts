const digitOf = (digit: number): number => (digit < 0x3a ? digit - 0x30 : digit - 0x57);

/**
 * The module of a kernel that the build wrote as hexadecimal digits: gzip makes a quarter less of these than of base64.
 * @param digits lower case, two for each byte
 * @throws WebAssembly.CompileError, or TypeError or ReferenceError, where there is no WebAssembly, no SIMD, or a policy forbids it
 */
export const compileModule = (digits: string): WebAssembly.Module => {
  const bytes = new Uint8Array(digits.length / 2);
  for (let i = 0; i < bytes.length; i++)
    bytes[i] = 16 * digitOf(digits.charCodeAt(2 * i)) + digitOf(digits.charCodeAt(2 * i + 1));
  return new WebAssembly.Module(bytes);
};
