import { readdirSync, readFileSync } from 'node:fs';
import { join } from 'node:path';
import { describe, expect, it } from 'vitest';

const below = (folder: string): string =>
  readdirSync(folder, { recursive: true, encoding: 'utf8' })
    .filter((name) => /\.(ts|md|json)$/.test(name) && !name.includes('kernel.wasm'))
    .map((name) => readFileSync(join(folder, name), 'utf8'))
    .join('\n');

const page = readFileSync('docs/references.md', 'utf8');
const cited = ['lib', 'docs/maths', 'samples', 'tests/golden']
  .map(below)
  .join('\n')
  .replace(/\n\s*(\/\/|\*)?\s*/g, ' ');
const sources = [...page.matchAll(/^\| (?!source)([^|-][^|]*) \|/gm)].map(([, source]) => source!);

describe('docs/references.md', () => {
  it('lists nothing that is not cited where it is used', () => {
    const authors = sources.flatMap((source) =>
      [...source.matchAll(/(?:^|[;,] )(?:[A-Z]\. ?)+((?:Van )?[A-ZØ][\p{L}-]+)/gu)].map(([, name]) => name!),
    );
    expect(authors.length).toBeGreaterThan(40);
    expect(authors.filter((name) => !cited.includes(name))).toEqual([]);
  });

  it('lists every standard and journal that the code cites', () => {
    const standards = new Set(
      cited.match(/\b(RFC \d+|JCGM \d+|ICC\.1:\d+|IEC \d[\d-]+|FITS standard 4\.0|TIFF 6\.0|WCAG 2\.2)/g),
    );
    const journals = new Set(
      cited.match(
        /\b(PASP \d+|JASA \d+|Biometrika \d+|CVIU \d+|Exp\. Astron\. \d+|SIAM Review \d+|Math\. Comp\. \d+|Appl\. Opt\. \d+)/g,
      ),
    );
    expect(standards.size).toBeGreaterThan(10);
    expect(journals.size).toBeGreaterThan(5);
    expect([...standards, ...journals].filter((name) => !page.includes(name))).toEqual([]);
  });
});
