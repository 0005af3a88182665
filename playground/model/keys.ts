/** What a key does on the page as a whole. */
export const KEYS = {
  '?': 'keys',
  h: 'panels',
  l: 'nextLine',
  k: 'previousLine',
  r: 'removed',
  m: 'mix',
  o: 'stars',
  p: 'probe',
  c: 'compare',
} as const;

export type KeyAct = (typeof KEYS)[keyof typeof KEYS];

/** Whether keys belong to what has the focus: text is typed there, or it has keys of its own. */
const typesInto = (target: EventTarget | undefined): boolean =>
  target instanceof HTMLInputElement || target instanceof HTMLTextAreaElement || target instanceof HTMLSelectElement;

/** What a key press asks of the page; undefined for keys that are somebody else's. */
export const keyAct = (event: KeyboardEvent): KeyAct | undefined => {
  if (event.ctrlKey || event.metaKey || event.altKey || typesInto(event.composedPath()[0])) return undefined;
  const key = event.key.length === 1 ? event.key.toLowerCase() : event.key;
  return Object.hasOwn(KEYS, key) ? KEYS[key as keyof typeof KEYS] : undefined;
};
