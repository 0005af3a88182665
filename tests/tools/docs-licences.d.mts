export const pages: (place: { root: string }) => Promise<[{ path: string; content: string }]>;
/** The text that goes with the built page: licences and notices of all that is in it. */
export const licenceTexts: (root: string) => string;
