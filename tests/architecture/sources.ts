import { readdirSync, readFileSync } from 'node:fs';
import { dirname, join, relative, resolve } from 'node:path';
import { fileURLToPath } from 'node:url';

export const ROOT = fileURLToPath(new URL('../..', import.meta.url));

export interface SourceFile {
  /** Path from the project's root, with forward slashes. */
  readonly path: string;
  readonly text: string;
  /** What it imports or re-exports, as written. */
  readonly imports: readonly string[];
}

const IMPORT =
  /^\s*(?:import|export)\s(?:[^'";]*?\sfrom\s*)?['"]([^'"]+)['"]|\bimport\(\s*['"]([^'"]+)['"]\s*\)|\bnew URL\(\s*['"](\.[^'"]+\.ts)['"]/gm;

/** What a text imports or re-exports: at once, later, as a type, or as a worker. */
export const importsOf = (text: string): string[] => [...text.matchAll(IMPORT)].map((m) => (m[1] ?? m[2] ?? m[3])!);

/** All TypeScript files below a folder, generated ones and the kernel's own dialect left out. */
export const sourcesBelow = (folder: string): SourceFile[] =>
  readdirSync(join(ROOT, folder), { recursive: true, encoding: 'utf8' })
    .filter((name) => name.endsWith('.ts') && !name.includes('wasm/assembly') && !name.endsWith('.wasm.ts'))
    .map((name) => {
      const path = `${folder}/${name.replaceAll('\\', '/')}`;
      const text = readFileSync(join(ROOT, path), 'utf8');
      return { path, text, imports: importsOf(text) };
    });

/** The project path that a relative import points to. */
export const target = (from: SourceFile, spelling: string): string =>
  relative(ROOT, resolve(ROOT, dirname(from.path), spelling)).replaceAll('\\', '/');
