/** `linewash/parts` on Node, as its types and reference show it: what all verbs are made of. */

export * from '../../parts/surface.ts';
export * from './files.ts';
