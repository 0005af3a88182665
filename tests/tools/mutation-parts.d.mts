/** Titles of tests left out. */
export const LARGE: readonly string[];
