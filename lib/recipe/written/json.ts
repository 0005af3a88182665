import { findNodeAtLocation, type Node, type ParseError, parseTree, printParseErrorCode, visit } from 'jsonc-parser';
import { type Fault, recipeError } from '../../plane/errors.ts';

const MAX_LENGTH = 1 << 20;
const MAX_DEPTH = 32;

/** JSON text with its parsed value and the positions of its parts. */
export interface JsonText {
  readonly value: unknown;
  /** Line and column (1-based) of the value at a path; of its nearest parent where the path does not exist. */
  place(path: readonly (string | number)[]): { line: number; column: number };
}

/**
 * Strict JSON (RFC 8259) with a limit on length and depth; duplicate keys and the keys that JavaScript treats
 * specially are faults. A byte-order mark in front is skipped.
 * @throws LinewashError 'recipe' with line and column.
 */
export const parseJson = (input: string, file?: string, longest = MAX_LENGTH): JsonText => {
  const json = readJson(input, file, longest);
  if (json.keyFaults.length > 0) throw recipeError(json.keyFaults, file);
  return json;
};

/**
 * The same, with faults of its keys for the caller to report beside others.
 * @throws LinewashError 'recipe' where the text is too long or deep, or not JSON at all.
 */
export const readJson = (
  input: string,
  file?: string,
  longest = MAX_LENGTH,
): JsonText & { readonly keyFaults: readonly Fault[] } => {
  const text = input.charCodeAt(0) === 0xfeff ? input.slice(1) : input;
  const position = lineFinder(text);
  const fail = (offset: number, message: string, path = '$'): never => {
    throw recipeError([{ path, message, ...position(offset) }], file);
  };
  if (text.length > longest) fail(0, `longer than ${longest} characters`);
  if (text.trim() === '') fail(0, 'the text is empty');
  const deep = depthExceeded(text);
  if (deep !== undefined) fail(deep, `nested more than ${MAX_DEPTH} deep`);
  const keyFaults = findKeyFaults(text, position);
  const errors: ParseError[] = [];
  const tree = parseTree(text, errors, { disallowComments: true, allowTrailingComma: false, allowEmptyContent: false });
  const [first] = errors;
  if (first !== undefined) fail(first.offset, `not valid JSON: ${readable(printParseErrorCode(first.error))}`);
  return {
    keyFaults,
    value: JSON.parse(text),
    place: (path) => position(nearestNode(tree!, path).offset),
  };
};

const readable = (code: string) => code.replace(/([a-z])([A-Z])/g, '$1 $2').toLowerCase();

const depthExceeded = (text: string): number | undefined => {
  let depth = 0;
  let quoted = false;
  for (let i = 0; i < text.length; i++) {
    const c = text[i];
    if (quoted) {
      if (c === '\\') i++;
      else if (c === '"') quoted = false;
    } else if (c === '"') quoted = true;
    else if (c === '{' || c === '[') {
      if (++depth > MAX_DEPTH) return i;
    } else if (c === '}' || c === ']') depth--;
  }
  return undefined;
};

const findKeyFaults = (text: string, position: (offset: number) => { line: number; column: number }): Fault[] => {
  const faults: Fault[] = [];
  const open: Set<string>[] = [];
  visit(text, {
    onObjectBegin: () => void open.push(new Set()),
    onObjectEnd: () => void open.pop(),
    onObjectProperty(key, offset, _length, _line, _character, path) {
      const keys = open[open.length - 1];
      const at = jsonPath([...path(), key]);
      if (key === '__proto__' || key === 'constructor' || key === 'prototype')
        faults.push({ path: at, message: `the key ${JSON.stringify(key)} is not allowed`, ...position(offset) });
      if (keys?.has(key)) faults.push({ path: at, message: 'this key is listed twice', ...position(offset) });
      keys?.add(key);
    },
  });
  return faults;
};

const nearestNode = (tree: Node, path: readonly (string | number)[]): Node => {
  for (let length = path.length; length > 0; length--) {
    const node = findNodeAtLocation(tree, path.slice(0, length));
    if (node !== undefined) return node;
  }
  return tree;
};

const lineFinder = (text: string) => {
  let starts: number[] | undefined;
  return (offset: number) => {
    starts ??= [0, ...[...text.matchAll(/\n/g)].map(({ index }) => index + 1)];
    let [line, after] = [0, starts.length];
    while (after - line > 1) {
      const middle = (line + after) >> 1;
      if (starts[middle]! <= offset) line = middle;
      else after = middle;
    }
    return { line: line + 1, column: offset - starts[line]! + 1 };
  };
};

/** A path in the notation of RFC 9535: `$.matrix[0][1]`, `$['odd name']`. */
export const jsonPath = (path: readonly (string | number)[]): string =>
  path.reduce<string>((text, part) => {
    if (typeof part === 'number') return `${text}[${part}]`;
    return /^[A-Za-z_][\w]*$/.test(part) ? `${text}.${part}` : `${text}['${part.replaceAll("'", "\\'")}']`;
  }, '$');
