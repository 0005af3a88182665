const digitOf = (digit: number): number => (digit < 0x3a ? digit - 0x30 : digit - 0x57);

/** The module of a kernel that the build wrote as hexadecimal digits: gzip makes a quarter less of these than of base64. */
const compile = (digits: string): WebAssembly.Module => {
  const bytes = new Uint8Array(digits.length / 2);
  for (let i = 0; i < bytes.length; i++)
    bytes[i] = 16 * digitOf(digits.charCodeAt(2 * i)) + digitOf(digits.charCodeAt(2 * i + 1));
  return new WebAssembly.Module(bytes);
};

/** A kernel: compiled when it is first needed, once in a thread. */
export interface Kernel<Exports> {
  /** Whether it runs here: where there is WebAssembly with SIMD, and no policy forbids it. */
  canRun(): boolean;
  /** A fresh instance with memory of its own; undefined where none can run. */
  instantiate(host?: WebAssembly.ModuleImports): Exports | undefined;
}

/**
 * A kernel that the build embedded.
 * @param digits its bytes in hexadecimal, lower case
 * @param what names it where it breaks down
 */
export const kernelOf = <Exports>(digits: string, what: string): Kernel<Exports> => {
  let compiled: WebAssembly.Module | undefined | null = null;
  const moduleOrNone = () => {
    if (compiled !== null) return compiled;
    try {
      compiled = compile(digits);
    } catch {
      compiled = undefined;
    }
    return compiled;
  };
  const abort = () => {
    throw new WebAssembly.RuntimeError(`${what} left its memory`);
  };
  return {
    canRun: () => moduleOrNone() !== undefined,
    instantiate(host = {}) {
      const module = moduleOrNone();
      if (module === undefined) return undefined;
      return new WebAssembly.Instance(module, { env: { ...host, abort } }).exports as Exports;
    },
  };
};
