import { someOf } from '../cases.ts';
import { type Step, stepsOf } from './steps.ts';

/** Files and folders that steps write. */
const written = (steps: readonly Step[]): string[] =>
  steps.flatMap((step) => {
    if (step.kind === 'file') return [step.path];
    const { words, into } = step;
    const after = (option: string) => words.filter((_, i) => words[i - 1] === option);
    return [
      ...after('-o'),
      ...after('--sheet'),
      ...(words[0] === 'samples' ? [words[1]!] : []),
      ...(into ? [into] : []),
    ];
  });

/** Files and folders of the demo that steps name. */
const named = (steps: readonly Step[]): string[] =>
  steps.flatMap((step) => (step.kind === 'file' ? [] : step.words.flatMap((word) => word.match(/demo\/.+$/) ?? [])));

const holds = (place: string, file: string): boolean => place === file || file.startsWith(`${place}/`);

/**
 * Sections of a page: its head, as many of the others as asked for (all in full runs, else drawn by the seed of the run), and
 * those before that write what these read.
 */
export const sectionsOf = (page: string, count: number): string[] => {
  const sections = page.split(/^(?=## )/m);
  const steps = sections.map((section) => stepsOf(section, '.'));
  const outputs = steps.map((some) => written(some).map((path) => path.replace(/^\.\//, '')));
  const chosen = new Set([0, ...someOf([...sections.keys()].slice(1), count)]);
  for (let k = sections.length - 1; k > 0; k--) {
    if (!chosen.has(k)) continue;
    for (const file of named(steps[k]!)) {
      const holders = outputs.slice(0, k + 1).map((places) => places.some((place) => holds(place, file)));
      const last = holders.lastIndexOf(true);
      if (last >= 0) chosen.add(last);
    }
  }
  return sections.filter((_, k) => chosen.has(k));
};
