/** `linewash` on Node, as its types and reference show it: all verbs. */

export * from '../surface.ts';
export * from './verbs.ts';
