import { safeName } from './safe-name.ts';

/** The longest name of one file or folder in bytes of UTF-8; file systems take 255, and temporary names are longer. */
const MOST_BYTES = 200;

const PLACE = /\{([^{}]*)\}/g;

/**
 * What is wrong with the name of an output: it must stay below the folder of results, and stand for nothing unknown.
 * @param known what may stand in braces
 */
export const templateFault = (template: string, known: readonly string[]): string | undefined => {
  for (const [, name] of template.matchAll(PLACE))
    if (!known.includes(name!)) {
      const listed = known.map((word) => `{${word}}`).join(', ') || 'none here';
      return `{${name}} has no meaning; known:  ${listed}`;
    }
  if (/^([/\\]|[A-Za-z]:)/.test(template)) return 'the name is relative to the folder given as "into"';
  const parts = partsOf(template);
  if (parts.some((part) => part === '..' || part === '.' || part === ''))
    return 'the name leaves its folder, or a part of it is empty';
  const fixed = parts.find((part) => part.search(PLACE) < 0 && safeName(part) !== part);
  if (fixed !== undefined)
    return `${JSON.stringify(fixed)} is no name for all systems; ${JSON.stringify(safeName(fixed))} is one`;
  return undefined;
};

const partsOf = (template: string): string[] => template.split(/[/\\]/);

/** Fills a template in; every part becomes a safe name for one file or folder. Separated by `/`. */
export const fillTemplate = (template: string, values: Readonly<Record<string, string>>): string =>
  partsOf(template)
    .map((part) => {
      const filled = part.replace(PLACE, (_, name: string) => safeName(values[name]!));
      const dot = filled.lastIndexOf('.');
      // A long name is cut before its ending.
      const [stem, ending] =
        dot > 0 && filled.length - dot <= 6 ? [filled.slice(0, dot), filled.slice(dot)] : [filled, ''];
      return safeName(safeName(stem, MOST_BYTES - ending.length) + ending, MOST_BYTES);
    })
    .join('/');
