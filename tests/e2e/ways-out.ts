import { createServer } from 'node:http';

/** A server elsewhere that notes whatever reaches it, by any protocol that begins with a connection. */
export const listenElsewhere = async () => {
  const hits: string[] = [];
  const server = createServer((request, response) => {
    hits.push(request.url ?? '?');
    response.writeHead(200, { 'access-control-allow-origin': '*', 'content-type': 'text/javascript' }).end('1;');
  });
  server.on('upgrade', (request, socket) => {
    hits.push(request.url ?? '?');
    socket.destroy();
  });
  await new Promise<void>((resolve) => server.listen(0, '127.0.0.1', resolve));
  const { port } = server.address() as { port: number };
  const close = () =>
    new Promise<void>((resolve) => {
      server.close(() => resolve());
      server.closeAllConnections();
    });
  return { address: `http://127.0.0.1:${port}`, hits, close };
};

/**
 * Every way in which a page can send something elsewhere, run within it: each begins and ends in itself, and what is
 * refused must not stop the others. Gives the names of the ways that were tried.
 */
export const tryAllWaysOut = async (elsewhere: string): Promise<string[]> => {
  const at = (name: string) => `${elsewhere}/${name}`;
  const element = (tag: string, attributes: Record<string, string>, parent: Element = document.head) => {
    const made = document.createElement(tag);
    for (const [key, value] of Object.entries(attributes)) made.setAttribute(key, value);
    parent.append(made);
  };
  const send = (method: string, name: string) => {
    const request = new XMLHttpRequest();
    request.open(method, at(name));
    request.send();
  };
  const form = () => {
    const made = document.createElement('form');
    made.action = at('form');
    made.target = 'frame-for-form';
    element('iframe', { name: 'frame-for-form' }, document.body);
    document.body.append(made);
    made.submit();
  };
  const sheet = () => {
    const made = new CSSStyleSheet();
    made.replaceSync(
      `body { background-image: url("${at('style-image')}"); } @font-face { font-family: planted; src: url("${at('font')}"); }`,
    );
    document.adoptedStyleSheets = [...document.adoptedStyleSheets, made];
    void document.fonts.load('12px planted').catch(() => {});
  };
  const ways: Record<string, () => unknown> = {
    fetch: () => fetch(at('fetch'), { mode: 'no-cors' }).catch(() => {}),
    xhr: () => send('GET', 'xhr'),
    beacon: () => navigator.sendBeacon(at('beacon'), 'words'),
    socket: () => new WebSocket(at('socket').replace('http', 'ws')),
    events: () => new EventSource(at('events')),
    image: () => element('img', { src: at('image') }, document.body),
    script: () => element('script', { src: at('script') }),
    stylesheet: () => element('link', { rel: 'stylesheet', href: at('stylesheet') }),
    sheet,
    frame: () => element('iframe', { src: at('frame') }, document.body),
    form,
    worker: () => new Worker(at('worker') as never),
    import: () => import(/* @vite-ignore */ at('import')).catch(() => {}),
    prefetch: () => element('link', { rel: 'prefetch', href: at('prefetch') }),
    preload: () => element('link', { rel: 'preload', as: 'image', href: at('preload') }),
    modulepreload: () => element('link', { rel: 'modulepreload', href: at('modulepreload') }),
    media: () => element('video', { src: at('media'), autoplay: '' }, document.body),
    object: () => element('object', { data: at('object') }, document.body),
    manifest: () => element('link', { rel: 'manifest', href: at('manifest') }),
  };
  for (const way of Object.values(ways))
    try {
      await Promise.race([way(), new Promise((resolve) => setTimeout(resolve, 300))]);
    } catch {
      // Refused at once.
    }
  await new Promise((resolve) => setTimeout(resolve, 500));
  return Object.keys(ways);
};

/** The same from within a worker. */
export const tryWaysOutOfWorker = async (elsewhere: string): Promise<string[]> => {
  const at = (name: string) => `${elsewhere}/worker-${name}`;
  const send = () => {
    const request = new XMLHttpRequest();
    request.open('GET', at('xhr'));
    request.send();
  };
  const ways: Record<string, () => unknown> = {
    fetch: () => fetch(at('fetch'), { mode: 'no-cors' }).catch(() => {}),
    xhr: send,
    socket: () => new WebSocket(at('socket').replace('http', 'ws')),
    events: () => new EventSource(at('events')),
    import: () => import(/* @vite-ignore */ at('import')).catch(() => {}),
    worker: () => new Worker(at('worker') as never, { type: 'module' }),
  };
  for (const way of Object.values(ways))
    try {
      await Promise.race([way(), new Promise((resolve) => setTimeout(resolve, 300))]);
    } catch {
      // Refused at once.
    }
  await new Promise((resolve) => setTimeout(resolve, 500));
  return Object.keys(ways);
};
