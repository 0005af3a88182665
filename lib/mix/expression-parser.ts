import { create, type MathNode, parseDependencies } from 'mathjs/number';

/**
 * The parser of mathjs, without a single function that an expression could call. The build puts this file and what it
 * needs of the package into one, since loading the package whole takes a command ten times as long.
 * (The package types its parts as a record of any names, which may lack any of them.)
 */
export const { parse } = create({ parseDependencies: parseDependencies! }) as unknown as {
  parse: (text: string) => MathNode;
};
