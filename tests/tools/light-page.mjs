// The page as the package holds it: its sample masters in small, which are computed here. They would be most of the package.
import { cpSync, mkdirSync, readdirSync, rmSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { pathToFileURL } from 'node:url';
import { stampWorker } from './offline-page.mjs';

/** Width of the small masters in pixels: a third of those that the page otherwise opens with. */
const WIDTH = 400;
const MASTER = /^emberwing-.*\.(fits|fits\.gz|tif)$/;

/** @param {string} root where `dist/playground` and the generator `dist/lib/cli/scene.js` are built already */
export const lightPage = async (root) => {
  const [page, light] = [join(root, 'dist/playground'), join(root, 'dist/page')];
  rmSync(light, { recursive: true, force: true });
  mkdirSync(light);
  for (const name of readdirSync(page))
    if (!MASTER.test(name)) cpSync(join(page, name), join(light, name), { recursive: true });
  const { sampleFiles } = await import(pathToFileURL(join(root, 'dist/lib/cli/scene.js')).href);
  for await (const { name, bytes } of sampleFiles({ kind: 'masters', width: WIDTH }))
    writeFileSync(join(light, name), bytes);
  stampWorker(light);
};
