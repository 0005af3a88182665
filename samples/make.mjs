// Computes the sample masters: node samples/make.mjs [FOLDER]   (samples/masters by default)
import { mkdir, writeFile } from 'node:fs/promises';
import { join, resolve } from 'node:path';
import { fileURLToPath } from 'node:url';
import { createServer } from 'vite';

const root = fileURLToPath(new URL('..', import.meta.url));
const folder = resolve(process.argv[2] ?? join(root, 'samples/masters'));

// Vite compiles the TypeScript on the way; nothing is served.
const vite = await createServer({
  root,
  configFile: false,
  appType: 'custom',
  logLevel: 'error',
  optimizeDeps: { noDiscovery: true },
  server: { middlewareMode: true, hmr: false, watch: null, ws: false },
});
try {
  const scene = await vite.ssrLoadModule('/samples/scene/index.ts');
  const truth = scene.sceneTruth();
  await mkdir(folder, { recursive: true });
  for (const line of scene.LINES) {
    const bytes = await scene.masterFile(truth[line], scene.EMBERWING.noiseSeed);
    await writeFile(join(folder, scene.masterName(line)), bytes);
    console.log(join(folder, scene.masterName(line)), bytes.length);
  }
} finally {
  await vite.close();
}
