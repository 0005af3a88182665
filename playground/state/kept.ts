/** Names of what the page keeps in the browser. */
export type KeptKey = 'work' | 'library' | 'panels' | 'open' | 'season';

/** Version of everything kept; what another version kept is left alone and not read. */
const VERSION = 1;
const nameOf = (key: KeptKey): string => `linewash.${key}`;

/** Keeps a value in the browser. True where it is kept: pages without storage, and full storage, keep nothing. */
export const keep = (key: KeptKey, value: unknown): boolean => {
  try {
    localStorage.setItem(nameOf(key), JSON.stringify({ version: VERSION, value }));
    return true;
  } catch {
    return false;
  }
};

/** What was kept, unchecked; undefined where there is nothing, or nothing that can be read. */
export const kept = (key: KeptKey): unknown => {
  try {
    const text = localStorage.getItem(nameOf(key));
    const found = text === null ? undefined : JSON.parse(text);
    return found?.version === VERSION ? found.value : undefined;
  } catch {
    return undefined;
  }
};
