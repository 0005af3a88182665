import ts from 'typescript';
import { describe, expect, it } from 'vitest';
import { type SourceFile, sourcesBelow } from './sources.ts';

/** All text that a file can hand out: strings and the fixed pieces of templates, without comments. */
const literalsOf = ({ path, text }: Pick<SourceFile, 'path' | 'text'>): string[] => {
  const found: string[] = [];
  const visit = (node: ts.Node): void => {
    if (ts.isStringLiteralLike(node) || ts.isTemplateHead(node) || ts.isTemplateMiddleOrTemplateTail(node))
      found.push(node.text);
    ts.forEachChild(node, visit);
  };
  visit(ts.createSourceFile(path, text, ts.ScriptTarget.Latest));
  return found;
};

/** A flag, or a command with its verb. */
const COMMAND_LINE = /(?<![\w-])--[a-z]|\blinewash (?:mix|sheet|measure|suggest|hours|batch|recipe|samples)\b/;
const speaksOfFlags = (text: string) => literalsOf({ path: 'a.ts', text }).filter((words) => COMMAND_LINE.test(words));

describe('messages of the library', () => {
  const files = sourcesBelow('lib').filter(({ path }) => !path.startsWith('lib/cli/'));

  it('name no flag and no command: each front end adds its own', () => {
    const literals = files.flatMap((file) => literalsOf(file).map((words) => `${file.path}: ${words}`));
    expect(literals.length).toBeGreaterThan(2000);
    expect(literals.filter((words) => COMMAND_LINE.test(words))).toEqual([]);
  });

  it('would be caught', () => {
    expect(speaksOfFlags("f('use --force')")).toEqual(['use --force']);
    // biome-ignore lint/suspicious/noTemplateCurlyInString: source text under test
    expect(speaksOfFlags('f(`add --time ${name}=4h`)')).toEqual(['add --time ']);
    // biome-ignore lint/suspicious/noTemplateCurlyInString: source text under test
    expect(speaksOfFlags('f(`${name} needs --sky`)')).toEqual([' needs --sky']);
    expect(speaksOfFlags("f('`linewash hours` tells')")).toHaveLength(1);
    expect(speaksOfFlags("// use --force\nf('a --b'.length - --b)")).toEqual(['a --b']);
    expect(speaksOfFlags("f('linewash did not make it', 'a--b', --b)")).toEqual([]);
  });
});
