import { mkdtempSync, readFileSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { inflateSync } from 'node:zlib';
import type { Expected } from './expected.ts';

interface Bundle {
  readonly manifest: readonly Expected[];
  readonly files: Readonly<Record<string, string>>;
}

const bundle: Bundle = JSON.parse(
  readFileSync(fileURLToPath(new URL('./fixtures/small.json', import.meta.url)), 'utf8'),
);

/** The committed files of independent writers and what they hold; written by make_fixtures.py. */
export const smallManifest = bundle.manifest;

export const smallFile = (name: string): Uint8Array =>
  new Uint8Array(inflateSync(Buffer.from(bundle.files[name]!, 'base64')));

/** Unpacks the bundle into a new folder under the system's temporary one. */
export const unpackSmall = (): string => {
  const folder = mkdtempSync(join(tmpdir(), 'linewash-fits-'));
  for (const name of Object.keys(bundle.files)) writeFileSync(join(folder, name), smallFile(name));
  return folder;
};
