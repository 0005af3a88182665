import { catalogueRecipe } from '../../lib/index.ts';

/** A place within the arguments of a call: the argument's index, then keys. */
export type Path = readonly (string | number)[];

type Call = (...given: unknown[]) => unknown;

/** What a call throws or rejects with. */
export const thrownBy = async (call: () => unknown): Promise<unknown> => {
  try {
    await call();
    return undefined;
  } catch (cause) {
    return cause;
  }
};

/** Arguments that a function finds nothing wrong with at first sight, and the places that it looked at on the way. */
export interface Learnt {
  readonly given: unknown[];
  readonly places: readonly Path[];
}

const copyOf = (value: unknown): unknown => {
  if (Array.isArray(value)) return value.map(copyOf);
  if (typeof value !== 'object' || value === null || Object.getPrototypeOf(value) !== Object.prototype) return value;
  return Object.fromEntries(Object.entries(value).map(([key, entry]) => [key, copyOf(entry)]));
};

/** The same arguments with another value at one place; undefined where that lies within no object. */
export const placed = (given: readonly unknown[], path: Path, value: unknown): unknown[] | undefined => {
  const copy = copyOf(given) as unknown[];
  let at = copy as unknown as Record<string | number, unknown>;
  for (const key of path.slice(0, -1)) {
    const next = at[key];
    if (typeof next !== 'object' || next === null || ArrayBuffer.isView(next)) return undefined;
    at = next as Record<string, unknown>;
  }
  at[path.at(-1)!] = value;
  return copy;
};

/** Notes every key that is read of plain objects and arrays. */
const watched = (value: unknown, path: Path, read: (path: Path) => void): unknown => {
  if (typeof value !== 'object' || value === null) return value;
  if (!Array.isArray(value) && Object.getPrototypeOf(value) !== Object.prototype) return value;
  return new Proxy(value, {
    get(target, key, receiver) {
      const found = Reflect.get(target, key, receiver);
      if (typeof key !== 'string' || key in Object.prototype || (Array.isArray(target) && key in Array.prototype))
        return found;
      const place = [...path, /^\d+$/.test(key) ? Number(key) : key];
      read(place);
      return watched(found, place, read);
    },
  });
};

/** What the words of a message ask for. */
const asked = (message: string): unknown => {
  const choice = /one of ("[^"]*"|\d+)/.exec(message)?.[1];
  if (choice !== undefined) return JSON.parse(choice);
  const least = /(?:whole number|number) (?:of at least|from|above) (\d+)/.exec(message)?.[1];
  if (least !== undefined) return Number(least) + (message.includes('above') ? 1 : 0);
  if (message.includes('the curve needs other numbers')) return { curve: 'linear' };
  if (message.includes('is no recipe')) return copyOf(catalogueRecipe('hoo'));
  if (message.includes('no line has a file')) return { H: 'nothing-here.fits' };
  for (const [words, value] of Object.entries({
    'expected a text': 'nothing-here',
    'expected true or false': false,
    'expected a function': () => 1,
    'expected a finite number': 1,
    'expected an array': [],
    'expected an object': {},
    'is no Float64Array': new Float64Array(1),
    'expected a Uint8Array': new Uint8Array(1),
    'expected a Float32Array': new Float32Array(1),
  }))
    if (message.includes(words)) return value;
  return undefined;
};

const placeIn = (message: string, name: string): Path | undefined => {
  const match = /^argument (\d+)((?:\.\w+|\[\d+\]|\["[^"]*"\])*) (?:is|does|has)/.exec(message.slice(name.length + 2));
  if (match === null) return undefined;
  const keys = [...match[2]!.matchAll(/\.(\w+)|\[(\d+)\]|\["([^"]*)"\]/g)];
  return [Number(match[1]) - 1, ...keys.map(([, key, index, quoted]) => key ?? quoted ?? Number(index))];
};

const MOST_STEPS = 60;

/** Does what our own messages ask for, until nothing is asked for any more. */
const mended = async (name: string, call: Call, first: unknown[], read: (path: Path) => void): Promise<unknown[]> => {
  let given = first;
  for (let step = 0; step < MOST_STEPS; step++) {
    const seen = given.map((value, i) => watched(value, [i], read));
    const cause = (await thrownBy(() => call(...seen))) as { tag?: string; message?: string } | undefined;
    if (cause?.tag !== 'usage' || !cause.message!.startsWith(`${name}: `)) return given;
    const path = placeIn(cause.message!, name);
    if (path === undefined) return given;
    const items = /has \d+ items, expected at least (\d+)/.exec(cause.message!)?.[1];
    const value = items === undefined ? asked(cause.message!) : Array.from({ length: Number(items) });
    const better = value === undefined ? undefined : placed(given, path, value);
    if (better === undefined) return given;
    given = better;
  }
  return given;
};

/** Finds out from messages, and from what is read, what a function takes: nobody has to list it. */
export const learn = async (name: string, call: Call): Promise<Learnt> => {
  const places = new Map<string, Path>();
  const read = (path: Path) => places.set(JSON.stringify(path), path);
  const given = await mended(name, call, [], read);
  for (const i of given.keys()) read([i]);
  // What an option holds shows only once there is one.
  for (const path of [...places.values()]) {
    if (path.length !== 2) continue;
    for (const value of [{}, { '*': {} }, [{}]]) {
      const more = placed(given, path, value);
      if (more !== undefined) await mended(name, call, more, read);
    }
  }
  return { given, places: [...places.values()] };
};
