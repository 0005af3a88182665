import type { Camera } from './camera.ts';
import { checkedPlan } from './kept-plan.ts';
import type { TargetBoxes } from './target-boxes.ts';

/** A master as it is kept: what it takes to find its file again. */
export interface KeptMaster {
  /** As the page shows it, with the ending that selects a picture in it: `all.tif[2]`. */
  readonly file: string;
  /** The name and size of its file. */
  readonly name: string;
  readonly size: number;
  readonly line: string;
}

/** A target as it is kept. */
export interface KeptTarget {
  readonly name: string;
  readonly masters: readonly KeptMaster[];
  readonly boxes: TargetBoxes;
  readonly camera?: Camera | undefined;
}

/** The open masters as they are kept; an empty name where there is one target only. */
export interface KeptOpen {
  readonly current: string;
  readonly targets: readonly KeptTarget[];
}

/** More than anybody opens; bounds for what is read from the browser. */
const MOST = { targets: 100, masters: 200, boxes: 64 };

const entriesOf = (kept: unknown, most: number): Record<string, unknown>[] =>
  (Array.isArray(kept) ? kept.slice(0, most) : []).filter((one) => typeof one === 'object' && one !== null);

const masterOf = ({ file, name, size, line }: Record<string, unknown>): KeptMaster[] =>
  typeof file === 'string' && typeof name === 'string' && typeof size === 'number' && typeof line === 'string'
    ? [{ file: file.slice(0, 500), name: name.slice(0, 500), size, line: line.slice(0, 24) }]
    : [];

type Sides = [number, number, number, number];
const isSides = (kept: unknown): kept is Sides =>
  Array.isArray(kept) && kept.length === 4 && kept.every((n) => Number.isInteger(n) && n >= 0 && n < 1e6);
const sidesIn = (kept: unknown): Sides[] | undefined => {
  const good = (Array.isArray(kept) ? kept.slice(0, MOST.boxes) : []).filter(isSides);
  return good.length > 0 ? good : undefined;
};

const boxesOf = (kept: unknown): TargetBoxes => {
  const { from, include, exclude, feature } = (kept ?? {}) as Record<string, unknown>;
  const [included, excluded] = [sidesIn(include), sidesIn(exclude)];
  const box = checkedPlan({ feature }).feature;
  return {
    ...(isSides(from) && { from }),
    ...(included && { include: included }),
    ...(excluded && { exclude: excluded }),
    ...(box && { feature: box }),
  };
};

const cameraOf = (kept: unknown): Camera | undefined => {
  const { x, y, scale } = (kept ?? {}) as Record<string, unknown>;
  return [x, y, scale].every(Number.isFinite) ? ({ x, y, scale } as Camera) : undefined;
};

/** The open masters in what was kept, which anyone may have changed; whatever is no good is left out. */
export const checkedOpen = (kept: unknown): KeptOpen | undefined => {
  if (typeof kept !== 'object' || kept === null) return undefined;
  const { current, targets } = kept as Record<string, unknown>;
  const good = entriesOf(targets, MOST.targets).flatMap(({ name, masters, boxes, camera }): KeptTarget[] => {
    const own = entriesOf(masters, MOST.masters).flatMap(masterOf);
    if (typeof name !== 'string' || own.length === 0) return [];
    return [{ name: name.slice(0, 200), masters: own, boxes: boxesOf(boxes), camera: cameraOf(camera) }];
  });
  if (good.length === 0) return undefined;
  const shown = good.find(({ name }) => name === current) ?? good[0]!;
  return { current: shown.name, targets: good };
};
