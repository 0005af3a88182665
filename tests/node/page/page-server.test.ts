import { mkdirSync, mkdtempSync, rmSync, symlinkSync, writeFileSync } from 'node:fs';
import { type IncomingHttpHeaders, request } from 'node:http';
import { connect } from 'node:net';
import { networkInterfaces, tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { type PageServer, servePage } from '../../../lib/node/page/page-server.ts';

const folder = mkdtempSync(join(tmpdir(), 'linewash-page-'));
const at = (name: string) => join(folder, name);
let server: PageServer;
let home: URL;

beforeAll(async () => {
  mkdirSync(at('page/assets'), { recursive: true });
  writeFileSync(at('page/index.html'), '<p>the page</p>');
  writeFileSync(at('page/assets/a.js'), 'run();');
  writeFileSync(at('page/service-worker.js'), 'keep();');
  writeFileSync(at('H & co.fits'), 'a master');
  writeFileSync(at('secret.fits'), 'secret');
  writeFileSync(at('page.txt'), 'secret');
  symlinkSync(at('secret.fits'), at('page/link.fits'));
  server = await servePage(at('page'), [
    { name: 'H & co.fits#1', line: 'H', path: at('H & co.fits') },
    { name: 'gone.fits', path: at('gone.fits') },
  ]);
  home = new URL(server.address);
});
afterAll(async () => {
  await server.close();
  rmSync(folder, { recursive: true, force: true });
});

interface Answer {
  readonly status: number;
  readonly body: string;
  readonly headers: IncomingHttpHeaders;
}

/** Sends a path as it stands, which a browser would tidy up first. */
const ask = (path: string, { method = 'GET', ...headers }: Record<string, string> = {}): Promise<Answer> =>
  new Promise((resolve, reject) => {
    const asked = request({ host: '127.0.0.1', port: home.port, path, method, headers, agent: false }, (response) => {
      let body = '';
      response.on('data', (data) => (body += data));
      response.on('end', () => resolve({ status: response.statusCode!, body, headers: response.headers }));
    });
    asked.on('error', reject);
    asked.end();
  });

describe('the server of the page', () => {
  it('gives the page, its files and the named masters', async () => {
    expect(server.address).toMatch(/^http:\/\/127\.0\.0\.1:\d+\/[0-9a-f]{32}\/#masters$/);
    const got = async (name: string) => (await ask(home.pathname + name)).body;
    expect(await got('')).toBe('<p>the page</p>');
    expect(await got('?a=b')).toBe('<p>the page</p>');
    expect(await got('assets/a.js')).toBe('run();');
    expect(JSON.parse(await got('masters.json'))).toEqual([
      { name: 'H & co.fits#1', line: 'H', at: 'masters/0' },
      { name: 'gone.fits', at: 'masters/1' },
    ]);
    const { body, headers } = await ask(`${home.pathname}masters/0`);
    expect(body).toBe('a master');
    expect(headers).toMatchObject({
      'content-length': '8',
      'cache-control': 'no-store',
      'cross-origin-resource-policy': 'same-origin',
      'x-content-type-options': 'nosniff',
    });
    expect(headers['access-control-allow-origin']).toBeUndefined();
    expect(await ask(`${home.pathname}masters/0`, { method: 'HEAD' })).toMatchObject({ status: 200, body: '' });
    expect((await ask(`${home.pathname}masters/1`)).status).toBe(404);
  });

  it('gives nothing else, however it is asked', async () => {
    const { pathname } = home;
    const ways = ['../', '..%2f', '%2e%2e/', '..\\', '..%5c', '....//', './../', 'assets/../../', '%00../', '..;/'];
    const paths = [
      ...ways.flatMap((way) =>
        ['secret.fits', 'page.txt', 'H & co.fits'].map((name) => pathname + way + encodeURI(name)),
      ),
      ...[
        'masters/2',
        'masters/-1',
        'masters/',
        'masters/0/',
        'masters/00',
        'masters',
        'link.fits',
        'service-worker.js',
      ].map((name) => pathname + name),
      ...['__proto__', 'constructor', 'toString', folder, `/${at('secret.fits')}`, 'index.html'].map(
        (name) => pathname + name,
      ),
      ...['/', '/masters.json', '/masters/0', '//', pathname.slice(0, -1), pathname.toUpperCase()],
      `/${'0'.repeat(32)}/masters/0`,
      `http://127.0.0.1:${home.port}/secret.fits`,
      `file://${at('secret.fits')}`,
    ];
    for (const path of paths) {
      const { status, body } = await ask(path);
      expect([path, status, body]).toEqual([path, 404, '']);
    }
  });

  it('answers only to names of this computer, and to no other site', async () => {
    const path = `${home.pathname}masters/0`;
    const own = `127.0.0.1:${home.port}`;
    for (const host of [own, `localhost:${home.port}`]) expect((await ask(path, { host })).status, host).toBe(200);
    const others = [
      'evil.example',
      `evil.example:${home.port}`,
      '127.0.0.1',
      'localhost',
      `127.0.0.1.evil.example:${home.port}`,
    ];
    for (const host of [...others, `${own}.`, `x@${own}`, `0.0.0.0:${home.port}`, '127.0.0.1:1'])
      expect((await ask(path, { host })).status, host).toBe(403);
    for (const site of ['cross-site', 'same-site', 'other'])
      expect((await ask(path, { host: own, 'sec-fetch-site': site })).status, site).toBe(403);
    for (const site of ['same-origin', 'none'])
      expect((await ask(path, { host: own, 'sec-fetch-site': site })).status, site).toBe(200);
  });

  it('reads, and does nothing else', async () => {
    for (const method of ['POST', 'PUT', 'DELETE', 'PATCH', 'OPTIONS', 'TRACE', 'PROPFIND'])
      expect(await ask(home.pathname, { method }), method).toMatchObject({
        status: 405,
        headers: { allow: 'GET, HEAD' },
      });
  });

  it('lives through what is no request', async () => {
    for (const bytes of [
      '\0\x01\x02\r\n\r\n',
      'GET\r\n\r\n',
      `GET ${home.pathname} HTTP/1.1\r\n\r\n`,
      `GET /${'x'.repeat(1 << 15)} HTTP/1.1\r\n\r\n`,
    ]) {
      const said = await new Promise<string>((resolve) => {
        const socket = connect(Number(home.port), '127.0.0.1', () => socket.write(bytes));
        let all = '';
        socket.on('data', (data) => (all += data));
        socket.on('close', () => resolve(all));
        socket.on('error', () => {});
      });
      expect(said).not.toContain('the page');
    }
    expect((await ask(home.pathname)).status).toBe(200);
  });

  it('is not there for other computers', async () => {
    const outside = Object.values(networkInterfaces())
      .flatMap((all) => all ?? [])
      .filter(({ internal, family }) => !internal && family === 'IPv4');
    for (const { address } of outside) {
      const reached = await new Promise<boolean>((resolve) => {
        const socket = connect({ port: Number(home.port), host: address }, () => resolve(true));
        socket.on('error', () => resolve(false));
      });
      expect(reached, address).toBe(false);
    }
  });

  it('ends at once, also while somebody is connected; a port that is taken is told', async () => {
    const other = await servePage(at('page'), []);
    const { port, hash } = new URL(other.address);
    expect(hash).toBe('');
    await expect(servePage(at('page'), [], Number(port))).rejects.toMatchObject({
      tag: 'input',
      message: `port ${port} cannot be used: another program uses it`,
    });
    const idle = connect(Number(port), '127.0.0.1');
    await new Promise((resolve) => idle.once('connect', resolve));
    await other.close();
    await new Promise((resolve) => idle.once('close', resolve));
  });
});
