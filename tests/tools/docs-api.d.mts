export const pages: (place: { root: string }) => Promise<[{ path: string; content: string }]>;
