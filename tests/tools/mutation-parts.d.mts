/** Titles of tests left out. */
export const LARGE: readonly string[];
/** The text of a test file in which the tests of these titles are skipped. */
export const skipTitles: (text: string, titles: readonly string[]) => string;
