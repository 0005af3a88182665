import { createReadStream, existsSync, statSync } from 'node:fs';
import { createServer } from 'node:http';
import { extname, join, normalize } from 'node:path';

const TYPES = {
  '.html': 'text/html; charset=utf-8',
  '.js': 'text/javascript',
  '.css': 'text/css',
  '.json': 'application/json',
  '.svg': 'image/svg+xml',
  '.png': 'image/png',
  '.webmanifest': 'application/manifest+json',
};

/**
 * Serves a folder under a path, as a plain static host would, and keeps the addresses that were asked for. Files of the
 * same name in a folder that lies over it go first.
 * @param {string} folder
 * @param {{ path?: string, over?: string | undefined }} [options]
 * @returns {Promise<{ address: string, requests: string[], close(): Promise<void> }>}
 */
export const serveFolder = async (folder, { path = '/some/where/', over } = {}) => {
  const requests = [];
  const found = (name) =>
    [over, folder]
      .filter((place) => place !== undefined)
      .map((place) => ({ place, file: normalize(join(place, name)) }))
      .find(({ place, file }) => file.startsWith(place) && existsSync(file) && statSync(file).isFile())?.file;
  const server = createServer((request, response) => {
    const { pathname } = new URL(request.url, 'http://localhost');
    requests.push(pathname);
    const name = decodeURIComponent(pathname.slice(path.length)) || 'index.html';
    const file = pathname.startsWith(path) ? found(name) : undefined;
    if (file === undefined) return response.writeHead(404).end();
    response.writeHead(200, { 'content-type': TYPES[extname(file)] ?? 'application/octet-stream' });
    createReadStream(file).pipe(response);
  });
  await new Promise((resolve) => server.listen(0, '127.0.0.1', resolve));
  return {
    address: `http://127.0.0.1:${server.address().port}${path}`,
    requests,
    close: () =>
      new Promise((resolve) => {
        server.close(resolve);
        server.closeAllConnections();
      }),
  };
};
