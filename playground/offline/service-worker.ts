/**
 * Keeps the files of the built page in the browser, so that it opens without its server. The build puts the list of them
 * before this script: its own path and the beginning of its SHA-256 for each, '' for the page itself.
 *
 * A file is kept under its path and its hash: builds that follow each other share what is equal, and each page gets the
 * files of its own build, whatever is on the server by then.
 */

interface Lasting extends Event {
  waitUntil(work: Promise<unknown>): void;
}
interface Events {
  readonly install: Lasting;
  readonly activate: Lasting;
  readonly message: MessageEvent<string>;
  readonly fetch: Lasting & { readonly request: Request; respondWith(answer: Promise<Response>): void };
}
interface Scope {
  readonly linewashFiles: Readonly<Record<string, string>>;
  readonly registration: { readonly scope: string };
  readonly clients: { matchAll(which: { includeUncontrolled: boolean }): Promise<readonly unknown[]> };
  skipWaiting(): Promise<void>;
  addEventListener<Name extends keyof Events>(name: Name, act: (event: Events[Name]) => void): void;
}

const worker = self as unknown as Scope;
const FILES = worker.linewashFiles;
const HOME = worker.registration.scope;
const CACHE = `linewash ${HOME}`;

/** So long a visit waits for the server to say whether there is a newer page. */
const PATIENCE_MS = 3000;

const keyOf = (path: string): string => `${HOME}${path}?${FILES[path]}`;

const hashOf = async (response: Response): Promise<string> => {
  const digest = new Uint8Array(await crypto.subtle.digest('SHA-256', await response.arrayBuffer()));
  return Array.from(digest, (byte) => byte.toString(16).padStart(2, '0')).join('');
};

/** Whether the page cannot do without a file. Samples may be left to the server, which may send them unpacked. */
const isNeeded = (path: string): boolean => path === '' || path.startsWith('assets/');

/** Keeps a file, if it is the one of this build: the server may be between two builds. */
const keep = async (path: string, cache: Cache): Promise<void> => {
  if ((await cache.match(keyOf(path))) !== undefined) return;
  for (const mode of ['default', 'reload'] as const) {
    const response = await fetch(HOME + path, { cache: mode });
    const hash = response.ok ? await hashOf(response.clone()) : '';
    if (hash.startsWith(FILES[path]!) && hash !== '') return cache.put(keyOf(path), response);
  }
  if (isNeeded(path)) throw new Error(`the server has another ${path || 'page'}`);
};

const keepAll = async (): Promise<void> => {
  const cache = await caches.open(CACHE);
  await Promise.all(Object.keys(FILES).map((path) => keep(path, cache)));
};

/** Drops the files of other builds; not while another window may still need them. */
const dropOthers = async (): Promise<void> => {
  if ((await worker.clients.matchAll({ includeUncontrolled: true })).length > 1) return;
  const cache = await caches.open(CACHE);
  const own = new Set(Object.keys(FILES).map(keyOf));
  await Promise.all((await cache.keys()).filter(({ url }) => !own.has(url)).map((request) => cache.delete(request)));
};

/** The file of this build, else one of another build under that path, else what the server has. */
const answer = async (path: string, request: Request): Promise<Response> => {
  const cache = await caches.open(CACHE);
  const kept = path in FILES ? await cache.match(keyOf(path)) : await cache.match(HOME + path, { ignoreSearch: true });
  return kept ?? fetch(request);
};

/** The page as the server has it now, or the kept one where the server does not answer. */
const newestPage = async (request: Request): Promise<Response> => {
  const late = new Promise<undefined>((resolve) => setTimeout(resolve, PATIENCE_MS));
  const response = await Promise.race([fetch(request), late]).catch(() => undefined);
  return response?.ok ? response : answer('', request);
};

/** The path of a file below this page; '' for the page itself. */
const pathOf = (address: string): string | undefined => {
  const { origin, pathname } = new URL(address);
  const path = origin + pathname;
  return path.startsWith(HOME) ? path.slice(HOME.length).replace(/^index\.html$/, '') : undefined;
};

worker.addEventListener('install', (event) => event.waitUntil(keepAll()));
worker.addEventListener('activate', (event) => event.waitUntil(dropOthers()));
worker.addEventListener('fetch', (event) => {
  const { request } = event;
  const path = pathOf(request.url);
  if (path === undefined || request.method !== 'GET' || request.headers.has('range')) return;
  event.respondWith(path === '' ? newestPage(request) : answer(path, request));
});
// A page of this very build is on screen, loaded from the server: this worker need not wait until it is closed.
worker.addEventListener('message', ({ data }) => {
  if ((pathOf(data) ?? '') in FILES && data !== HOME) void worker.skipWaiting();
});
