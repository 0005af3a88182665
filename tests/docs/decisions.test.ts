import { readdirSync, readFileSync } from 'node:fs';
import { describe, expect, it } from 'vitest';

const FOLDER = 'docs/decisions';
const read = (file: string) => readFileSync(`${FOLDER}/${file}`, 'utf8');
const files = readdirSync(FOLDER)
  .filter((file) => /^\d{4}-/.test(file) && !file.startsWith('0000-'))
  .sort();
const titleOf = (file: string) => /^# (?:\d{4}:? )?(.*)$/m.exec(read(file))![1]!;
const headings = (text: string) => [...text.matchAll(/^## (.*)$/gm)].map(([, heading]) => heading);

describe('the decisions', () => {
  it('are numbered without gaps', () => {
    expect(files.length).toBeGreaterThan(10);
    expect(files.map((file) => Number(file.slice(0, 4)))).toEqual(files.map((_, i) => i + 1));
  });

  it('stand in their index by number and title', () => {
    const listed = read('README.md').match(/^- .*$/gm);
    expect(listed).toEqual(files.map((file) => `- [${file.slice(0, 4)}](${file}) ${titleOf(file)}`));
  });

  it('have the parts of the template from the eighth on', () => {
    const parts = headings(read('0000-template.md'));
    expect(parts).toEqual(['Context', 'Decision', 'Consequences']);
    for (const file of files.slice(7)) {
      expect(headings(read(file)), file).toEqual(parts);
      expect(read(file), file).toMatch(/^# \d{4}: .*\n\nStatus: (proposed|accepted|replaced by )/);
    }
  });
});
