// Compiles the pixel kernels from AssemblyScript and embeds each as hexadecimal digits, so that library, workers and page need
// neither a file beside them nor a loader for .wasm.
import { mkdirSync, readdirSync, readFileSync, statSync, writeFileSync } from 'node:fs';
import { dirname } from 'node:path';
import { fileURLToPath } from 'node:url';
import asc from 'assemblyscript/asc';

const lib = fileURLToPath(new URL('../../lib/', import.meta.url));
const sources = `${lib}render/wasm/assembly/`;

/** Entry file and the module made of it: colours, statistics, smoothing, stars, packing, lines, unpacking. */
const KERNELS = [
  ['index.ts', `${lib}render/wasm/kernel.wasm.ts`],
  ['count.ts', `${lib}measure/kernel.wasm.ts`],
  ['smooth.ts', `${lib}smooth/kernel.wasm.ts`],
  ['stars.ts', `${lib}stars/find/kernel.wasm.ts`],
  ['pack.ts', `${lib}formats/png/kernel.wasm.ts`],
  ['lines.ts', `${lib}check/kernel.wasm.ts`],
  ['unpack.ts', `${lib}formats/fits/kernel.wasm.ts`],
];

const newest = Math.max(
  statSync(fileURLToPath(import.meta.url)).mtimeMs,
  ...readdirSync(sources).map((name) => statSync(`${sources}${name}`).mtimeMs),
);

for (const [entry, target] of KERNELS) {
  const built = statSync(target, { throwIfNoEntry: false })?.mtimeMs ?? 0;
  if (built < newest || process.argv.includes('--force')) await build(entry, target);
}

async function build(entry, target) {
  let binary;
  const options = ['--runtime', 'stub', '--enable', 'simd', '-O3', '--noAssert', '--outFile', 'kernel.wasm'];
  const { error, stderr } = await asc.main([entry, ...options], {
    readFile: (name) => {
      try {
        return readFileSync(`${sources}${name}`, 'utf8');
      } catch {
        return null;
      }
    },
    writeFile: (name, bytes) => {
      if (name.endsWith('.wasm')) binary = bytes;
    },
    listFiles: () => [],
  });
  if (error || binary === undefined) {
    process.stderr.write(`${stderr}\n${error ?? 'no module was made'}\n`);
    process.exit(1);
  }
  const text = Buffer.from(binary).toString('hex');
  mkdirSync(dirname(target), { recursive: true });
  writeFileSync(target, `// Made by tests/tools/build-kernel.mjs.\nexport const KERNEL =\n  '${text}';\n`);
  process.stdout.write(`kernel ${entry}: ${binary.length} bytes\n`);
}
