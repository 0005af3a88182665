import { endingsFor, formatOf, PICTURE_FORMATS } from '../../formats/pictures.ts';
import { patternFault } from './pattern.ts';
import type { BatchPlan, OutputEntry, TargetEntry } from './schema.ts';
import { templateFault } from './template.ts';

/** A fault of a plan and where it is. */
export interface RecipeFault {
  readonly path: (string | number)[];
  readonly message: string;
}

type Outputs = BatchPlan['outputs'];

/** What the schema alone cannot say of a plan. */
export const checkBatch = (plan: BatchPlan): RecipeFault[] => [
  ...plan.targets.flatMap((target, i) => checkTarget(plan, target, ['targets', i])),
  ...checkOutputs(plan.outputs, ['outputs']),
  ...checkSheet(plan.sheet?.file),
];

const checkTarget = (plan: BatchPlan, target: TargetEntry, path: RecipeFault['path']): RecipeFault[] => {
  const faults: RecipeFault[] = [];
  const say = (message: string, ...key: string[]) => faults.push({ path: [...path, ...key], message });
  const { name, masters, pattern, folder, lines, only } = target;
  if ((masters === undefined) === (pattern === undefined))
    say('a target has either "name" and "masters", or a "pattern"');
  if (masters !== undefined && name === undefined) say('this key is missing', 'name');
  if (masters !== undefined && Object.keys(masters).length === 0) say('there is no master', 'masters');
  if (pattern === undefined)
    for (const [key, value] of Object.entries({ folder, lines, only }))
      if (value !== undefined) say('belongs to a "pattern"', key);
  if (pattern !== undefined && name !== undefined) say('belongs to a target with "masters"', 'name');
  const fault = pattern === undefined ? undefined : patternFault(pattern);
  if (fault !== undefined) say(fault, 'pattern');
  if (target.recipes === undefined && plan.recipes === undefined)
    say('there are no recipes, neither here nor in the plan', 'recipes');
  if (target.outputs === undefined && plan.outputs === undefined)
    say('there are no outputs, neither here nor in the plan', 'outputs');
  return [...faults, ...checkStars(target, [...path, 'stars']), ...checkOutputs(target.outputs, [...path, 'outputs'])];
};

const checkStars = ({ stars = [], pattern }: TargetEntry, path: RecipeFault['path']): RecipeFault[] => {
  const files = [stars].flat();
  if (files.length === 2) return [{ path, message: 'expected one picture, or three: red, green and blue' }];
  if (pattern === undefined) return [];
  return files.flatMap((file) => {
    const message = file.includes('{line}') ? '{line} has no meaning here' : patternFault(file);
    return message === undefined ? [] : [{ path, message }];
  });
};

const checkOutputs = (outputs: Outputs, path: RecipeFault['path']): RecipeFault[] =>
  (outputs ?? []).flatMap((written, i) => {
    const output: OutputEntry = typeof written === 'string' ? { file: written } : written;
    const at = typeof written === 'string' ? [...path, i] : [...path, i, 'file'];
    const fault = templateFault(output.file, ['target', 'recipe', 'line']) ?? formatFault(output.file);
    if (fault !== undefined) return [{ path: at, message: fault }];
    return checkBits(output, [...path, i]);
  });

const formatFault = (file: string): string | undefined => {
  if (formatOf(file) !== undefined) return undefined;
  const endings = PICTURE_FORMATS.map(({ extensions }) => `.${extensions[0]}`);
  return `unknown file extension; use one of ${endings.join(', ')}`;
};

/** Bits from the defaults apply only to the formats that have them. */
const checkBits = ({ file, bits }: OutputEntry, path: RecipeFault['path']): RecipeFault[] => {
  const format = formatOf(file)!;
  if (bits === undefined || format.samples.some((sample) => Number(sample.slice(1)) === bits)) return [];
  const known = format.samples.map((sample) => sample.slice(1)).join(' or ');
  return [{ path: [...path, 'bits'], message: `${format.name} is written with ${known} bits a sample` }];
};

const checkSheet = (file: string | undefined): RecipeFault[] => {
  if (file === undefined) return [];
  const fault = templateFault(file, []);
  const path = ['sheet', 'file'];
  if (fault !== undefined) return [{ path, message: fault }];
  return formatOf(file)?.samples.includes('u8') ? [] : [{ path, message: `a sheet is written as ${endingsFor('u8')}` }];
};
