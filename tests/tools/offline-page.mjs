import { createHash } from 'node:crypto';
import { copyFileSync, readdirSync, readFileSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';

const WORKER = 'service-worker.js';
const ICONS = [192, 512];
const page = fileURLToPath(new URL('../../playground', import.meta.url));

/** What an installed page is called, looks like and opens. */
const manifest = {
  id: './',
  name: 'linewash',
  short_name: 'linewash',
  description: 'Decide what colour each emission line gets. Nothing leaves your computer.',
  start_url: './',
  scope: './',
  display: 'standalone',
  background_color: '#2b2b2b',
  theme_color: '#2b2b2b',
  icons: ICONS.flatMap((size) =>
    ['any', 'maskable'].map((purpose) => ({
      src: `icon-${size}.png`,
      sizes: `${size}x${size}`,
      type: 'image/png',
      purpose,
    })),
  ),
  file_handlers: [
    {
      action: './',
      accept: {
        'application/fits': ['.fits', '.fit', '.fts'],
        'image/tiff': ['.tif', '.tiff'],
        'application/json': ['.json'],
      },
    },
  ],
  launch_handler: { client_mode: 'focus-existing' },
};

const filesBelow = (folder) =>
  readdirSync(folder, { recursive: true, withFileTypes: true })
    .filter((entry) => entry.isFile())
    .map((entry) =>
      join(entry.parentPath, entry.name)
        .slice(folder.length + 1)
        .replaceAll('\\', '/'),
    )
    .sort();

const STAMP = /^self\.linewashFiles=.*;\n/;

/** Tells the service worker of a built page which files it has, in the place of what it was told before. */
export const stampWorker = (dir) => {
  const files = filesBelow(dir).filter((name) => name !== WORKER);
  const hash = (name) =>
    createHash('sha256')
      .update(readFileSync(join(dir, name)))
      .digest('hex')
      .slice(0, 32);
  const list = Object.fromEntries(files.map((name) => [name === 'index.html' ? '' : name, hash(name)]));
  const script = readFileSync(join(dir, WORKER), 'utf8').replace(STAMP, '');
  writeFileSync(join(dir, WORKER), `self.linewashFiles=${JSON.stringify(list)};\n${script}`);
};

/**
 * Makes the built page one that can be installed and opens without its server: a manifest, icons, and a service worker
 * that knows every file of the build by its content.
 * @returns {import('vite').Plugin}
 */
export const offlinePage = () => ({
  name: 'offline-page',
  apply: 'build',
  buildStart() {
    this.emitFile({ type: 'chunk', id: join(page, 'offline/service-worker.ts'), fileName: WORKER });
  },
  // At the end of the head: after the security policy, which binds what comes after it.
  transformIndexHtml: () => [
    { tag: 'link', attrs: { rel: 'manifest', href: './manifest.webmanifest' }, injectTo: 'head' },
  ],
  writeBundle({ dir }) {
    writeFileSync(join(dir, 'manifest.webmanifest'), JSON.stringify(manifest));
    for (const size of ICONS) copyFileSync(join(page, `icon-${size}.png`), join(dir, `icon-${size}.png`));
    stampWorker(dir);
  },
});
