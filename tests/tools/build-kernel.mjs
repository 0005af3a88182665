// Compiles the pixel kernel from AssemblyScript and embeds it as base64, so that library, workers and page need neither
// a file beside them nor a loader for .wasm.
import { readdirSync, readFileSync, statSync, writeFileSync } from 'node:fs';
import { fileURLToPath } from 'node:url';
import asc from 'assemblyscript/asc';

const folder = fileURLToPath(new URL('../../lib/render/wasm/', import.meta.url));
const target = `${folder}kernel.wasm.ts`;

const newest = Math.max(
  statSync(fileURLToPath(import.meta.url)).mtimeMs,
  ...readdirSync(`${folder}assembly`).map((name) => statSync(`${folder}assembly/${name}`).mtimeMs),
);
const built = statSync(target, { throwIfNoEntry: false })?.mtimeMs ?? 0;
if (built < newest || process.argv.includes('--force')) await build();

async function build() {
  let binary;
  const { error, stderr } = await asc.main(
    ['assembly/index.ts', '--outFile', 'kernel.wasm', '--runtime', 'stub', '--enable', 'simd', '-O3', '--noAssert'],
    {
      readFile: (name, base) => {
        try {
          return readFileSync(`${folder}${base ? `${base}/` : ''}${name}`.replace(`${folder}./`, folder), 'utf8');
        } catch {
          return null;
        }
      },
      writeFile: (name, bytes) => {
        if (name.endsWith('.wasm')) binary = bytes;
      },
      listFiles: () => [],
    },
  );
  if (error || binary === undefined) {
    process.stderr.write(`${stderr}\n${error ?? 'no module was made'}\n`);
    process.exit(1);
  }
  const text = Buffer.from(binary).toString('base64');
  writeFileSync(target, `// Made by tests/tools/build-kernel.mjs.\nexport const KERNEL_BASE64 =\n  '${text}';\n`);
  process.stdout.write(`kernel: ${binary.length} bytes\n`);
}
