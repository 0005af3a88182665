/** One part of a pattern between two separators. */
type Token = { readonly kind: 'text'; readonly text: string } | { readonly kind: 'any' | 'one' | 'target' | 'line' };

/** What a pattern found in a path so far. */
export interface Match {
  readonly target?: string;
  readonly line?: string;
}

const TOKEN = /\{target\}|\{line\}|\*+|\?|[^*?{]+|\{/g;
/** More wildcards in one name than this would only cost time. */
const MOST_WILD = 6;
const LONGEST_LINE = 24;

const KINDS: Readonly<Record<string, Token>> = {
  '{target}': { kind: 'target' },
  '{line}': { kind: 'line' },
  '?': { kind: 'one' },
};

const tokens = (part: string): Token[] =>
  (part.normalize('NFC').match(TOKEN) ?? []).map(
    (text) => KINDS[text] ?? (text.startsWith('*') ? { kind: 'any' } : { kind: 'text', text }),
  );

/** The parts of a pattern, one for each folder and the last for the file. */
export const patternParts = (pattern: string): string[] => pattern.split('/');

/** What is wrong with a pattern, if anything. */
export const patternFault = (pattern: string): string | undefined => {
  if (!pattern.includes('{target}')) return 'the pattern does not contain {target}';
  if (pattern.startsWith('/')) return 'the pattern is relative to "folder"';
  const parts = patternParts(pattern);
  if (parts.some((part) => part === '' || part === '.' || part === '..'))
    return 'the pattern leaves its folder, or a part of it is empty; "folder" says where it starts';
  const other = [...pattern.matchAll(/\{([^{}]*)\}/g)].find(([text]) => KINDS[text] === undefined);
  if (other !== undefined) return `${other[0]} has no meaning; known:  {target}, {line}`;
  if (parts.some((part) => tokens(part).filter(({ kind }) => kind === 'target' || kind === 'line').length > 3))
    return 'more than three names in one part of the pattern';
  if (parts.some((part) => tokens(part).filter(({ kind }) => kind !== 'text').length > MOST_WILD))
    return `at most ${MOST_WILD} wildcards in one name`;
  return undefined;
};

/**
 * Matches one name against one part of a pattern. `{target}` takes as much as it can; `{line}` takes as little as `isLine`
 * accepts, without tearing a word; what an earlier part found must stand here again. Names compare in Unicode NFC.
 */
export const matchPart = (
  part: string,
  name: string,
  before: Match,
  isLine: (text: string) => boolean,
): Match | undefined => {
  const wanted = tokens(part);
  const text = name.normalize('NFC');
  const accepts = (kind: Token['kind'], at: number, end: number): boolean =>
    kind !== 'line' || (!tearsWord(text, at) && !tearsWord(text, end) && isLine(text.slice(at, end)));
  // Ways that lead nowhere are not gone twice: what follows depends on the past only where a name must come again.
  const repeats = (['target', 'line'] as const).some(
    (kind) => wanted.filter((token) => token.kind === kind).length > 1,
  );
  const deadEnds = new Set<string>();
  const from = (t: number, at: number, found: Match): Match | undefined => {
    const token = wanted[t];
    if (token === undefined) return at === text.length ? found : undefined;
    const fixed = fixedText(token, found);
    if (fixed !== undefined) return text.startsWith(fixed, at) ? from(t + 1, at + fixed.length, found) : undefined;
    const way = `${t} ${at} ${repeats ? JSON.stringify(found) : ''}`;
    if (deadEnds.has(way)) return undefined;
    for (const end of ends(token.kind, at, text.length)) {
      if (!accepts(token.kind, at, end)) continue;
      const next = from(t + 1, end, withName(token, text.slice(at, end), found));
      if (next !== undefined) return next;
    }
    deadEnds.add(way);
    return undefined;
  };
  return from(0, 0, before);
};

const withName = ({ kind }: Token, text: string, found: Match): Match =>
  kind === 'target' || kind === 'line' ? { ...found, [kind]: text } : found;

/** What must stand where a token is; undefined where that is open. */
const fixedText = (token: Token, found: Match): string | undefined => {
  if (token.kind === 'text') return token.text;
  return token.kind === 'target' || token.kind === 'line' ? found[token.kind] : undefined;
};

/** Where a wildcard that starts at `at` may end, in the order in which it is tried. */
const ends = (kind: Token['kind'], at: number, length: number): number[] => {
  const least = kind === 'any' ? at : at + 1;
  const most =
    kind === 'one' ? Math.min(length, at + 1) : kind === 'line' ? Math.min(length, at + LONGEST_LINE) : length;
  const all = Array.from({ length: Math.max(0, most - least + 1) }, (_, i) => least + i);
  return kind === 'line' ? all : all.reverse();
};

const tearsWord = (text: string, at: number): boolean =>
  /^\p{L}{2}/u.test(text.slice(Math.max(0, at - 1), at + 1)) && at > 0;
