import { readFileSync } from 'node:fs';
import { describe, expect, it } from 'vitest';
import { BINNING_PAIRS, BINNING_TEXTS, FACT_KEYWORDS } from '../../lib/formats/fits/keywords.ts';

describe('docs/files.md', () => {
  const page = readFileSync('docs/files.md', 'utf8');
  const table = page.slice(page.indexOf('<!-- keywords'), page.indexOf('Hours are'));
  const cells = table
    .split('\n')
    .filter((line) => line.startsWith('| '))
    .map((line) => line.split('|').map((c) => c.trim()));
  const column = (c: number) =>
    cells
      .slice(1)
      .flatMap((row) => row[c]!.split(/, | and /))
      .filter(Boolean);

  it('lists exactly the keywords that are read', () => {
    const of = (basis: string) => FACT_KEYWORDS.filter((k) => k.basis === basis).map((k) => k.keyword);
    expect(column(2).sort()).toEqual(of('standard').sort());
    expect(column(3).sort()).toEqual([...of('convention'), ...BINNING_PAIRS.flat(), ...BINNING_TEXTS].sort());
  });
});
