import { readdirSync, readFileSync } from 'node:fs';
import { join } from 'node:path';
import { describe, expect, it } from 'vitest';

const FOLDER = 'tests/playground';

/** Roles that a test file asks the accessibility tree for. */
const rolesIn = (file: string): string[] => {
  const text = readFileSync(join(FOLDER, file), 'utf8');
  const questions = [...text.matchAll(/\b(?:spoken|names)\(([^)]*)\)/g)].map((match) => match[1]!);
  return questions.flatMap((words) => [...words.matchAll(/'([A-Za-z]+)'/g)].map((match) => match[1]!));
};

describe('the packaged browser of the checks', () => {
  const [, words] = /^packaged_files=\(([^)]+)\)$/m.exec(readFileSync('.ci/run', 'utf8'))!;
  const all = readdirSync(FOLDER).filter((name) => name.endsWith('.test.ts'));
  const walked = all.filter((name) => words!.split(' ').some((word) => name.startsWith(word)));

  it('meets every role that the tests of the page ask for', () => {
    const met = new Set(walked.flatMap(rolesIn));
    const asked = [...new Set(all.flatMap(rolesIn))];
    expect(asked.length).toBeGreaterThan(15);
    expect(asked.filter((role) => !met.has(role))).toEqual([]);
  });

  it('meets what a slider says in words, and the bytes of a PNG', () => {
    const texts = walked.map((name) => readFileSync(join(FOLDER, name), 'utf8'));
    for (const what of [/valuetext/, /png/i]) expect(texts.some((text) => what.test(text))).toBe(true);
  });
});
