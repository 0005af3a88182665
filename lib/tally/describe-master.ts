import { lineOf } from '../measure/filters.ts';
import type { HeaderFacts } from '../plane/facts.ts';
import { frameKind, isCalibration } from './frame.ts';
import type { FoundMaster, TargetBy } from './group-masters.ts';
import { fileName } from './path.ts';
import { nameWithoutLine, targetOf } from './target-name.ts';

/** A file that may be a master, with what its header says. */
export interface MasterHeader {
  /** With `/` or, on Windows, `\` between folders and file. */
  readonly path: string;
  /** The name of the folder that it lies in, where that may name its target; else empty. */
  readonly folder: string;
  readonly facts: Omit<HeaderFacts, 'cards'>;
  /** In pixels. */
  readonly width: number;
  readonly height: number;
}

/** A master with its target, line and size, or in words why it is none. */
export const describeMaster = ({ path, folder, facts, width, height }: MasterHeader): FoundMaster | string => {
  if (isCalibration(facts) || frameKind(facts) === 'other')
    return `by its header it is no master but ${JSON.stringify(facts.kind)}`;
  const file = fileName(path.replaceAll('\\', '/'));
  const line = lineOf(facts.filter, file)?.line;
  if (line === undefined) return 'neither header nor file name gives the line';
  const name = nameWithoutLine(file, line);
  const [target, by] = targetNamed(facts.object, name, folder);
  if (target === '') return 'neither header nor file name gives the target';
  const stacked = frameKind(facts) === 'master';
  return { path, target: target.normalize('NFC'), by, name, line, filter: facts.filter, stacked, width, height };
};

/** The first of these that names a target, and which it was. */
const targetNamed = (object: string | undefined, name: string, folder: string): readonly [string, TargetBy] => {
  const stated = targetOf(object);
  if (stated !== undefined) return [stated, 'header'];
  return name !== '' ? [name, 'file name'] : [folder, 'folder name'];
};
