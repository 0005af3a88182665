import { describeMaster } from '../../lib/tally/describe-master.ts';
import { type FoundMaster, groupMasters } from '../../lib/tally/group-masters.ts';
import { targetKey, targetOf } from '../../lib/tally/target-name.ts';
import type { OpenedMaster } from '../../lib/web/open-master.ts';
import { placeOf } from './places.ts';

/** A master whose header has been read. */
export type Groupable = Pick<OpenedMaster, 'file' | 'facts' | 'width' | 'height'> & { readonly from: Blob | string };

/** The masters of one target. */
export interface TargetGroup<M> {
  readonly name: string;
  readonly masters: readonly M[];
}

const pathOf = ({ from, file }: Groupable): string => placeOf(from)?.path ?? file;
const foldersOf = (master: Groupable): readonly string[] => pathOf(master).split('/').slice(0, -1);

const found = <M extends Groupable>(master: M): (FoundMaster & { readonly master: M }) | undefined => {
  const { facts, width, height } = master;
  const described = describeMaster({
    path: pathOf(master),
    folder: foldersOf(master).at(-1) ?? '',
    facts,
    width,
    height,
  });
  return typeof described === 'string' ? undefined : { ...described, master };
};

/**
 * Masters by target, as `linewash batch init` groups them, with notes; undefined where they are of one target. File names
 * alone tell targets apart only where some line would else have two masters: `stack-H.fits` and `second-O.fits` may well be
 * mixed. A master whose line nobody knows goes with those that its header or its folder names, else with the first.
 */
export const targetsAmong = <M extends Groupable>(
  masters: readonly M[],
): { readonly targets: readonly TargetGroup<M>[]; readonly notes: readonly string[] } | undefined => {
  const known = masters.map(found);
  const { groups, notes } = groupMasters(known.filter((one) => one !== undefined));
  if (groups.length < 2) return undefined;
  const stated = new Set(groups.filter(({ by }) => by.includes('header')).map(({ target }) => targetKey(target)));
  const lines = groups.flatMap((group) => [...group.lines.keys()]);
  if (stated.size < 2 && new Set(lines).size === lines.length) return undefined;
  const targets = groups.map(({ name, target, masters: own }) => ({ name, target, masters: own.map((o) => o.master) }));
  for (const [i, master] of masters.entries()) {
    if (known[i] !== undefined) continue;
    const object = targetOf(master.facts.object);
    const folders = foldersOf(master).join('/');
    const home =
      targets.find(({ target }) => object !== undefined && targetKey(target) === targetKey(object)) ??
      targets.find((one) => one.masters.some((other) => foldersOf(other).join('/') === folders)) ??
      targets[0]!;
    home.masters.push(master);
  }
  return { targets: targets.map(({ name, masters: own }) => ({ name, masters: own })), notes };
};

/** What a target is called whose masters are these: by headers, else by files and folders; undefined where they tell none. */
export const targetNameOf = (masters: readonly Groupable[]): string | undefined =>
  groupMasters(masters.map(found).filter((one) => one !== undefined)).groups[0]?.name;
