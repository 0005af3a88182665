/** Arrays that one piece of work after another uses: memory is slow to get and to give back. */
export interface Scratch {
  /** So many values by this name, whatever was left in them; the same memory in every call. */
  floats(name: string, length: number): Float32Array<ArrayBuffer>;
  /** The same, all 0. */
  zeros(name: string, length: number): Float32Array<ArrayBuffer>;
  bytes(name: string, length: number): Uint8Array<ArrayBuffer>;
}

/** Scratch for work that never runs twice at the same time. */
export const createScratch = (): Scratch => {
  const kept = new Map<string, ArrayBuffer>();
  const buffer = (name: string, bytes: number): ArrayBuffer => {
    const found = kept.get(name);
    if (found !== undefined && found.byteLength >= bytes) return found;
    const fresh = new ArrayBuffer(bytes);
    kept.set(name, fresh);
    return fresh;
  };
  const floats: Scratch['floats'] = (name, length) => new Float32Array(buffer(name, 4 * length), 0, length);
  return {
    floats,
    zeros: (name, length) => floats(name, length).fill(0),
    bytes: (name, length) => new Uint8Array(buffer(name, length), 0, length).fill(0),
  };
};
