/**
 * Stands for all code that measures and settles: what was computed by other code is not believed. The build puts the
 * SHA-256 of the sources in its place.
 */
export const ALGORITHMS: string = 'as in the sources';
