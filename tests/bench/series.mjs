// Several pictures in one process, and the same reads and writes without a kernel. Prints JSON.
// Usage: series.mjs LIB FOLDER RECIPE
import { closeSync, openSync, readFileSync, readSync, rmSync, writeSync } from 'node:fs';
import { join } from 'node:path';
import { pathToFileURL } from 'node:url';

const [lib, folder, recipeFile] = process.argv.slice(2);
const { mixFiles } = await import(pathToFileURL(join(lib, 'node/index.js')).href);
const recipe = JSON.parse(readFileSync(recipeFile, 'utf8'));
const inputs = Object.fromEntries(['S', 'H', 'O'].map((name) => [name, join(folder, `${name}.fits`)]));
const output = join(folder, 'series.tif');

/** Reads all inputs and writes as many bytes as a picture has, a strip at a time. */
const copy = (pictureBytes) => {
  const buffer = Buffer.alloc(1 << 19);
  const out = openSync(output, 'w');
  let left = pictureBytes;
  for (const path of Object.values(inputs)) {
    const file = openSync(path, 'r');
    for (let n = 1; n > 0; ) {
      n = readSync(file, buffer, 0, buffer.length, null);
      const part = Math.min(left, Math.ceil(n / 2));
      if (part > 0) left -= writeSync(out, buffer, 0, part);
    }
    closeSync(file);
  }
  closeSync(out);
  rmSync(output);
};

const times = { mix: [], copy: [] };
for (let round = 0; round < 6; round++) {
  let began = performance.now();
  const { width, height } = await mixFiles({ recipe, inputs, output });
  times.mix.push(performance.now() - began);
  rmSync(output);
  began = performance.now();
  copy(width * height * 6);
  times.copy.push(performance.now() - began);
}
process.stdout.write(JSON.stringify(times));
