import type { MathNode } from 'mathjs/number';
import { type ExpressionFault, FUNCTIONS, plainNumber, tokenFault } from './expression-tokens.ts';
import { knownValue } from './known-expressions.ts';

const MOST_NODES = 200;
const DEEPEST = 50;

/** The value of an expression, or what is wrong with it. */
export type ExpressionResult = { readonly value: number } | { readonly fault: ExpressionFault };

/** A branch of the tree that is not on the list of what an expression may hold. */
class Refused extends Error {}

/**
 * The value of an expression over knobs: numbers, + − * / ^, parentheses, min, max, abs, sqrt, pi.
 * Every token is checked first, then the grammar by the parser of mathjs (loaded when first needed, and only for what
 * is more than a number); the tree it gives is walked against a list of what may stand in it and computed here, so that
 * nothing of mathjs is ever called on behalf of a text.
 * @returns a finite value or a fault; never throws for any text
 */
export const evaluateExpression = async (
  text: string,
  knobs: ReadonlyMap<string, number>,
): Promise<ExpressionResult> => {
  const number = plainNumber(text);
  if (number !== undefined) return finite(number, new Map());
  const fault = tokenFault(text, [...knobs.keys()]);
  if (fault !== undefined) return { fault };
  const known = knownValue(text, knobs);
  if (known !== undefined) return finite(known, knobs);
  const { parse } = await import('./expression-parser.ts');
  let tree: MathNode;
  try {
    tree = parse(text);
  } catch (cause) {
    const at = (cause as { char?: unknown }).char;
    return { fault: { message: 'something is missing here', at: typeof at === 'number' ? at : 1 } };
  }
  try {
    return finite(walker(knobs)(tree, 0), knobs);
  } catch (cause) {
    if (!(cause instanceof Refused)) throw cause;
    return { fault: { message: cause.message, at: 1 } };
  }
};

const finite = (value: number, knobs: ReadonlyMap<string, number>): ExpressionResult => {
  // Adding 0 makes −0 the 0 that is written.
  if (Number.isFinite(value)) return { value: value + 0 };
  const setting = [...knobs].map(([name, n]) => `${name} = ${n}`).join(', ');
  return { fault: { message: `gives ${value}${setting && ` where ${setting}`}`, at: 1, ofValue: true } };
};

const OPERATORS: Readonly<Record<string, (...values: number[]) => number>> = {
  add: (a, b) => a! + b!,
  subtract: (a, b) => a! - b!,
  multiply: (a, b) => a! * b!,
  divide: (a, b) => a! / b!,
  pow: (a, b) => a! ** b!,
  unaryMinus: (a) => 0 - a!,
  unaryPlus: (a) => a!,
};

const CALLS: Readonly<Record<keyof typeof FUNCTIONS, (...values: number[]) => number>> = {
  min: Math.min,
  max: Math.max,
  abs: Math.abs,
  sqrt: Math.sqrt,
};

/** The parts of the parser's nodes that are looked at. */
interface Branch {
  readonly type: string;
  readonly value?: unknown;
  readonly name?: string;
  readonly fn?: string | { readonly name?: string; readonly type?: string };
  readonly args?: readonly MathNode[];
  readonly content?: MathNode;
  readonly implicit?: boolean;
}

const walker = (knobs: ReadonlyMap<string, number>) => {
  let nodes = 0;
  const walk = (node: MathNode, depth: number): number => {
    if (++nodes > MOST_NODES) throw new Refused(`the expression has more than ${MOST_NODES} parts`);
    if (depth > DEEPEST) throw new Refused(`the expression nests more than ${DEEPEST} deep`);
    const branch = node as unknown as Branch;
    const values = () => (branch.args ?? []).map((arg) => walk(arg, depth + 1));
    switch (branch.type) {
      case 'ConstantNode':
        if (typeof branch.value === 'number') return branch.value;
        break;
      case 'ParenthesisNode':
        return walk(branch.content!, depth + 1);
      case 'SymbolNode': {
        const value = branch.name === 'pi' ? Math.PI : knobs.get(branch.name!);
        if (value !== undefined) return value;
        break;
      }
      case 'OperatorNode':
        if (Object.hasOwn(OPERATORS, branch.fn as string) && !branch.implicit)
          return OPERATORS[branch.fn as string]!(...values());
        break;
      case 'FunctionNode':
        return call(branch, values);
    }
    throw new Refused('only numbers, knobs, + - * / ^, parentheses, min, max, abs, sqrt and pi are allowed');
  };
  return walk;
};

const call = ({ fn, args = [] }: Branch, values: () => number[]): number => {
  const name = typeof fn === 'object' && fn.type === 'SymbolNode' ? (fn.name ?? '') : '';
  if (!Object.hasOwn(FUNCTIONS, name)) throw new Refused('only min, max, abs and sqrt may be called');
  const known = name as keyof typeof FUNCTIONS;
  const [least, most] = FUNCTIONS[known];
  if (args.length < least || args.length > most)
    throw new Refused(`${name} takes ${least === most ? `${least} argument` : `${least} to ${most} arguments`}`);
  return CALLS[known](...values());
};
