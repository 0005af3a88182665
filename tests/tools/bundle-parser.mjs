// Puts the parser of expressions and the few modules that it needs of its package into one file of the built library.
import { fileURLToPath } from 'node:url';
import { build } from 'vite';

const file = fileURLToPath(new URL('../../dist/lib/mix/expression-parser.js', import.meta.url));

await build({
  configFile: false,
  logLevel: 'warn',
  build: {
    lib: { entry: file, formats: ['es'], fileName: () => 'expression-parser.js' },
    outDir: fileURLToPath(new URL('../../dist/lib/mix', import.meta.url)),
    emptyOutDir: false,
    target: 'es2023',
    minify: true,
  },
});
