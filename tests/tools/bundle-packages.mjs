// Puts what the library uses of two large packages into its own files: the parser of expressions, and colours as CSS
// writes them. Whoever installs linewash then need not install 35 MB for a few functions.
import { rmSync } from 'node:fs';
import { basename, dirname } from 'node:path';
import { fileURLToPath } from 'node:url';
import { build } from 'vite';

for (const name of ['mix/expression-parser.js', 'colour/css.js']) {
  const file = fileURLToPath(new URL(`../../dist/lib/${name}`, import.meta.url));
  await build({
    configFile: false,
    logLevel: 'warn',
    publicDir: false,
    build: {
      lib: { entry: file, formats: ['es'], fileName: () => basename(file) },
      outDir: dirname(file),
      emptyOutDir: false,
      target: 'es2023',
      minify: true,
      // Our own modules stay files of their own.
      rollupOptions: { external: (id, from) => from !== undefined && from === file && id.startsWith('.') },
    },
  });
}
// Its types name a package that is not installed; nothing that is public speaks of them.
rmSync(fileURLToPath(new URL('../../dist/lib/mix/expression-parser.d.ts', import.meta.url)));
