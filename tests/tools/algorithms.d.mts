/** SHA-256 over the sources that a measured number can depend on. */
export const algorithmsOf: (root: string) => string;
/** Puts it into a compiled library. */
export const stampAlgorithms: (root: string) => void;
