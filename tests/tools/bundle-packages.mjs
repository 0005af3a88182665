// Puts what the library uses of three large packages into its own files: the parser of expressions, colours as CSS
// writes them, and the decoder of JPEG in TIFF. Whoever installs linewash then need not install 40 MB for a few functions.
import { rmSync } from 'node:fs';
import { basename, dirname } from 'node:path';
import { fileURLToPath } from 'node:url';
import { build } from 'vite';
import { jpegOfGeotiff } from './jpeg-of-geotiff.mjs';

for (const name of ['mix/expression-parser.js', 'colour/css.js', 'formats/tiff/display/jpeg-decoder.js']) {
  const file = fileURLToPath(new URL(`../../dist/lib/${name}`, import.meta.url));
  await build({
    configFile: false,
    logLevel: 'warn',
    publicDir: false,
    plugins: [jpegOfGeotiff()],
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
// Their types name packages that are not installed; nothing that is public speaks of them.
for (const name of ['mix/expression-parser.d.ts', 'formats/tiff/display/jpeg-decoder.d.ts'])
  rmSync(fileURLToPath(new URL(`../../dist/lib/${name}`, import.meta.url)));
