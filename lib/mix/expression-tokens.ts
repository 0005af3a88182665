import { nearest } from '../plane/name.ts';

/** What a knob may be called. */
export const KNOB_NAME = /^[A-Za-z][A-Za-z0-9_]{0,23}$/;

/** Longest expression that is looked at. */
export const MAX_EXPRESSION = 500;

/** How many arguments each function of expressions takes, at least and at most. */
export const FUNCTIONS = {
  min: [1, 8],
  max: [1, 8],
  abs: [1, 1],
  sqrt: [1, 1],
} as const satisfies Record<string, readonly [number, number]>;

/** Names with a meaning of their own, which no knob may have. */
export const RESERVED: readonly string[] = [...Object.keys(FUNCTIONS), 'pi'];

/** Something wrong with an expression. */
export interface ExpressionFault {
  /** In a sentence without a full stop. */
  readonly message: string;
  /** Where: the 1-based position of a character. */
  readonly at: number;
  /** True where the expression is in order but its value, at the setting of its knobs, is none. */
  readonly ofValue?: true;
}

/** A number with a decimal point, as JSON writes it or with the zero before or after the point left out. */
const NUMBER = /^(?:\d+\.?\d*|\.\d+)(?:[eE][+-]?\d+)?/;
const NAME = /^[A-Za-z_][A-Za-z0-9_]*/;
const DEEPEST = 50;

const isFunction = (name: string): boolean => Object.hasOwn(FUNCTIONS, name);

/** The number that a text is, if it is nothing but a number with an optional sign. */
export const plainNumber = (text: string): number | undefined => {
  if (text.length > MAX_EXPRESSION) return undefined;
  const [, sign, rest] = /^\s*([+-]?)\s*(\S+)\s*$/.exec(text) ?? [];
  if (rest === undefined || NUMBER.exec(rest)?.[0] !== rest) return undefined;
  return sign === '-' ? 0 - Number(rest) : Number(rest);
};

type Kind = 'number' | 'name' | 'function' | '(' | ')' | ',' | 'sign' | 'other';

interface Token {
  readonly kind: Kind;
  readonly text: string;
  /** Position of its first character, 1-based. */
  readonly at: number;
}

const kindOf = (text: string): Kind => {
  if (/^[A-Za-z_]/.test(text)) return isFunction(text) ? 'function' : 'name';
  if (/^\.?\d/.test(text)) return 'number';
  if (text === '(' || text === ')' || text === ',') return text;
  return '+-*/^'.includes(text) ? 'sign' : 'other';
};

function* tokens(text: string): Generator<Token> {
  for (let i = 0; i < text.length; ) {
    // No token that is allowed is longer; a longer one shows as two values side by side.
    const rest = text.slice(i, i + 64);
    const token = /^\s+/.exec(rest)?.[0] ?? NUMBER.exec(rest)?.[0] ?? NAME.exec(rest)?.[0] ?? rest[0]!;
    if (token.trim() !== '') yield { kind: kindOf(token), text: token, at: i + 1 };
    i += token.length;
  }
}

/**
 * The first thing in an expression that is no number, knob, function or sign of the language, stands where none can, or
 * nests too deep; undefined where every token is in order (the grammar as a whole may still be wrong).
 * Runs once over the text, whatever stands in it.
 */
export const tokenFault = (text: string, knobs: readonly string[]): ExpressionFault | undefined => {
  if (text.length > MAX_EXPRESSION)
    return { message: `an expression has at most ${MAX_EXPRESSION} characters`, at: MAX_EXPRESSION + 1 };
  /** For each open parenthesis, whether it holds the arguments of a function. */
  const open: boolean[] = [];
  let before: Kind = 'sign';
  for (const { kind, text: token, at } of tokens(text)) {
    const message = wrongAlone(kind, token, knobs) ?? wrongAfter(before, kind, token) ?? wrongInside(open, kind);
    if (message !== undefined) return { message, at };
    if (kind === '(') open.push(before === 'function');
    if (kind === ')') open.pop();
    before = kind;
  }
  return open.length > 0 ? { message: 'a parenthesis is never closed', at: text.length } : undefined;
};

const wrongAlone = (kind: Kind, token: string, knobs: readonly string[]): string | undefined => {
  if (kind === 'other') return `${JSON.stringify(token)} means nothing here`;
  if (kind === 'number' && !Number.isFinite(Number(token))) return 'a number too large';
  if (kind !== 'name' || token === 'pi' || knobs.includes(token)) return undefined;
  const near = nearest(token, knobs);
  if (near !== undefined) return `there is no knob ${token} (did you mean ${near}?)`;
  return `there is no knob ${token}; ${knobs.length > 0 ? `knobs: ${knobs.join(', ')}` : 'the recipe has no "knobs"'}`;
};

const wrongAfter = (before: Kind, kind: Kind, token: string): string | undefined => {
  if (before === 'function') return kind === '(' ? undefined : 'a function has its arguments in parentheses';
  const begins = kind === 'number' || kind === 'name' || kind === 'function' || kind === '(';
  const ended = before === 'number' || before === 'name' || before === ')';
  return begins && ended ? `a sign is missing before ${token}` : undefined;
};

const wrongInside = (open: readonly boolean[], kind: Kind): string | undefined => {
  if (kind === '(' && open.length >= DEEPEST) return `parentheses nest more than ${DEEPEST} deep`;
  if (kind === ')' && open.length === 0) return 'this parenthesis was never opened';
  if (kind === ',' && !open.at(-1)) return 'a comma separates arguments only; decimals take a point';
  return undefined;
};
