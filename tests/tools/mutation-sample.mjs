// Which mutants of a part are tried. The choice hangs on nothing but the mutant, so that a run can be repeated.
// The mutation tester loads this file as a plugin that "checks" mutants: those outside the choice count as not valid.
import { readFileSync } from 'node:fs';
import { relative } from 'node:path';

/** A name for a mutant that stays the same from run to run. */
export const keyOf = (file, { start, end }, replacement) =>
  `${file}:${start.line}:${start.column}-${end.line}:${end.column} ${replacement}`;

/** FNV-1a, 32 bits, then two rounds of mixing (MurmurHash3, fmix32): a share in 0..1. */
const shareOf = (key) => {
  let hash = 0x811c9dc5;
  for (let i = 0; i < key.length; i++) hash = Math.imul(hash ^ key.charCodeAt(i), 0x01000193);
  hash = Math.imul(hash ^ (hash >>> 16), 0x85ebca6b);
  hash = Math.imul(hash ^ (hash >>> 13), 0xc2b2ae35);
  return ((hash ^ (hash >>> 16)) >>> 0) / 2 ** 32;
};

/**
 * Whether a mutant belongs to a sample of this share, 0..1; samples that begin elsewhere and do not overlap have none in
 * common. The canary always belongs.
 */
export const inSample = (key, { from, share }) => {
  const place = shareOf(key);
  return key.startsWith('lib/canary.ts') || (place >= from && place < from + share);
};

class SampleChecker {
  async init() {
    this.choice = JSON.parse(readFileSync('choice.json', 'utf8'));
    this.known = new Set(this.choice.known);
  }
  async group(mutants) {
    return [mutants.map(({ id }) => id)];
  }
  async check(mutants) {
    const tried = ({ fileName, location, replacement }) => {
      // Lines and columns count from 0 here, from 1 in the report.
      const [start, end] = [location.start, location.end].map((at) => ({ line: at.line + 1, column: at.column + 1 }));
      const key = keyOf(relative(process.cwd(), fileName), { start, end }, replacement);
      return inSample(key, this.choice) && !this.known.has(key);
    };
    const verdict = (mutant) =>
      tried(mutant) ? { status: 'passed' } : { status: 'compileError', reason: 'outside the sample' };
    return Object.fromEntries(mutants.map((mutant) => [mutant.id, verdict(mutant)]));
  }
}

export const strykerPlugins = [{ kind: 'Checker', name: 'sample', injectableClass: SampleChecker }];
