import { randomBytes } from 'node:crypto';
import { readdirSync } from 'node:fs';
import { open } from 'node:fs/promises';
import { createServer, type IncomingMessage, type ServerResponse } from 'node:http';
import type { AddressInfo } from 'node:net';
import { extname, join } from 'node:path';
import { pipeline } from 'node:stream/promises';
import { inputError } from '../../plane/errors.ts';
import { reasonOf } from '../files/reason.ts';

/** A master that the page opens. */
export interface ServedMaster {
  /** What the page calls it: the name without folders, with its selector. */
  readonly name: string;
  /** The line that it was given for; the page finds out where absent. */
  readonly line?: string | undefined;
  readonly path: string;
}

export interface PageServer {
  /** Where the page is: only whoever knows it whole gets anything. */
  readonly address: string;
  close(): Promise<void>;
}

const TYPES: Readonly<Record<string, string>> = {
  '.html': 'text/html; charset=utf-8',
  '.js': 'text/javascript',
  '.css': 'text/css',
  '.json': 'application/json',
  '.svg': 'image/svg+xml',
  '.png': 'image/png',
  '.txt': 'text/plain; charset=utf-8',
  '.wasm': 'application/wasm',
};

/** The page keeps nothing in the browser: its address is another one each time. */
const UNSERVED = /^(service-worker\.js|manifest\.webmanifest)$/;

const HEADERS = {
  'cache-control': 'no-store',
  'cross-origin-resource-policy': 'same-origin',
  'cross-origin-opener-policy': 'same-origin',
  'referrer-policy': 'no-referrer',
  'x-content-type-options': 'nosniff',
};

/** What lies under one address: a file, or text that is made here. */
type Content = { readonly path: string; readonly type: string } | { readonly text: string; readonly type: string };

/**
 * Serves the built page and some masters to browsers of this computer. It listens on 127.0.0.1 alone, under a path that
 * cannot be guessed, and answers only requests that name this computer as their host and do not come from another site.
 * Addresses are looked up in a list that is made here: nothing in a request becomes a path.
 * @param folder the built page
 * @param port 0 for any that is free
 * @throws LinewashError 'input' where the port cannot be had.
 */
export const servePage = async (folder: string, masters: readonly ServedMaster[], port = 0): Promise<PageServer> => {
  const home = `/${randomBytes(16).toString('hex')}/`;
  const contents = new Map<string, Content>([...pageFiles(folder, home), ...masterFiles(masters, home)]);
  const server = createServer({ maxHeaderSize: 1 << 14, requestTimeout: 30_000 }, (request, response) => {
    answer(request, response, contents).catch(() => response.destroy());
  });
  await new Promise<void>((resolve, reject) => {
    server.once('error', reject);
    server.listen(port, '127.0.0.1', resolve);
  }).catch((cause) => {
    throw inputError(`port ${port} cannot be used: ${reasonOf(cause)}`, 'choose another port, or none');
  });
  const { port: own } = server.address() as AddressInfo;
  return {
    address: `http://127.0.0.1:${own}${home}${masters.length > 0 ? '#masters' : ''}`,
    close: () =>
      new Promise((resolve) => {
        server.close(() => resolve());
        server.closeAllConnections();
      }),
  };
};

const pageFiles = (folder: string, home: string): [string, Content][] =>
  readdirSync(folder, { recursive: true, withFileTypes: true })
    .filter((entry) => entry.isFile() && !UNSERVED.test(entry.name))
    .map((entry) => {
      const path = join(entry.parentPath, entry.name);
      const name = path.slice(join(folder, '/').length).replaceAll('\\', '/');
      const type = TYPES[extname(name)] ?? 'application/octet-stream';
      return [home + (name === 'index.html' ? '' : name), { path, type }];
    });

/** Masters stand under their number, so that no letter of a file's name is part of an address. */
const masterFiles = (masters: readonly ServedMaster[], home: string): [string, Content][] => {
  const at = (i: number) => `masters/${i}`;
  const list = masters.map(({ name, line }, i) => ({ name, ...(line !== undefined && { line }), at: at(i) }));
  return [
    [`${home}masters.json`, { text: JSON.stringify(list), type: TYPES['.json']! }],
    ...masters.map(({ path }, i): [string, Content] => [home + at(i), { path, type: 'application/octet-stream' }]),
  ];
};

/** Whether a request was sent to this computer by name, and by a page that is served here, or by hand. */
const isOwn = ({ headers, socket }: IncomingMessage): boolean => {
  const hosts = ['127.0.0.1', 'localhost'].map((name) => `${name}:${socket.localPort}`);
  const site = headers['sec-fetch-site'];
  return hosts.includes(headers.host ?? '') && (site === undefined || site === 'same-origin' || site === 'none');
};

const answer = async (
  request: IncomingMessage,
  response: ServerResponse,
  contents: ReadonlyMap<string, Content>,
): Promise<void> => {
  const refuse = (status: number, more = {}) => {
    response.writeHead(status, { ...HEADERS, ...more, connection: 'close' }).end();
  };
  if (!isOwn(request)) return refuse(403);
  if (request.method !== 'GET' && request.method !== 'HEAD') return refuse(405, { allow: 'GET, HEAD' });
  const content = contents.get((request.url ?? '').replace(/\?.*$/, ''));
  if (content === undefined) return refuse(404);
  if ('path' in content) return sendFile(content, request.method === 'HEAD', response, refuse);
  const head = { ...HEADERS, 'content-type': content.type, 'content-length': Buffer.byteLength(content.text) };
  response.writeHead(200, head).end(request.method === 'HEAD' ? undefined : content.text);
};

const sendFile = async (
  { path, type }: Extract<Content, { path: string }>,
  headOnly: boolean,
  response: ServerResponse,
  refuse: (status: number) => void,
): Promise<void> => {
  const file = await open(path, 'r').catch(() => undefined);
  if (file === undefined) return refuse(404);
  try {
    const { size } = await file.stat();
    response.writeHead(200, { ...HEADERS, 'content-type': type, 'content-length': size });
    if (headOnly || size === 0) response.end();
    // A file that grows meanwhile is sent as it was; one that shrinks breaks the connection, which the page tells.
    else await pipeline(file.createReadStream({ start: 0, end: size - 1, autoClose: false }), response);
  } finally {
    await file.close();
  }
};
