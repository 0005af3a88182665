// Computes the sample masters: node samples/make.mjs [FOLDER]   (samples/masters by default)
import { mkdir, writeFile } from 'node:fs/promises';
import { join, resolve } from 'node:path';
import { gzipSync } from 'node:zlib';
import { moduleLoader, root } from '../tests/tools/modules.mjs';

const folder = resolve(process.argv[2] ?? join(root, 'samples/masters'));

const modules = await moduleLoader();
try {
  const scene = await modules.load('/samples/scene/index.ts');
  const truth = scene.sceneTruth();
  await mkdir(folder, { recursive: true });
  for (const line of scene.LINES) {
    const bytes = await scene.masterFile(truth[line], scene.EMBERWING.noiseSeed);
    await writeFile(join(folder, scene.masterName(line)), bytes);
    console.log(join(folder, scene.masterName(line)), bytes.length);
  }
  for await (const { name, bytes } of scene.sampleFiles({ kind: 'starless' }))
    await writeFile(join(folder, name), bytes);
  const later = gzipSync(await scene.laterFile(scene.sceneTruth(scene.LATER).O), { level: 9 });
  await writeFile(join(folder, scene.LATER_NAME), later);
  console.log(join(folder, scene.LATER_NAME), later.length);
} finally {
  await modules.close();
}
