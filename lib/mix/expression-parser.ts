import { create, type MathNode, parseDependencies } from 'mathjs/number';

/**
 * The parser of mathjs, without a single function that an expression could call. The build puts this file and what it
 * needs of the package into one, since loading the package whole takes a command ten times as long.
 */
export const { parse } = create({ parseDependencies }) as unknown as { parse: (text: string) => MathNode };
