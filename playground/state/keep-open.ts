import { type KeptHandle, keepHandles } from '../model/handle-store.ts';
import type { KeptMaster, KeptOpen } from '../model/kept-open.ts';
import { placeOf } from '../model/places.ts';
import { $history, type PageTarget } from './history.ts';
import { keep } from './kept.ts';
import { $masters, type PageMaster } from './masters.ts';
import { cameraOf, targetsNow } from './targets.ts';
import { $camera } from './view.ts';

const QUIET_MS = 400;

const keptMaster = ({ file, from, line }: PageMaster): KeptMaster[] =>
  from instanceof File ? [{ file, name: from.name, size: from.size, line }] : [];

const keptTarget = ({ name, masters, boxes }: PageTarget) => ({
  name,
  masters: masters.flatMap(keptMaster),
  boxes,
  camera: cameraOf(name),
});

const handleOf = ({ from, file }: PageMaster): KeptHandle[] => {
  const place = placeOf(from);
  if (place?.root === undefined || !(from instanceof File)) return [];
  return [{ file, size: from.size, root: place.root, path: place.path }];
};

/** Keeps which masters are open, and how to open them again where the browser can. Their pixels are not kept. */
const keepNow = async (): Promise<void> => {
  const now = targetsNow();
  const open: KeptOpen = { current: now?.current ?? '', targets: now?.all.map(keptTarget) ?? [] };
  keep('open', open);
  const handles = (now?.all ?? []).flatMap(({ masters }) => masters.flatMap(handleOf));
  // Browsers without such handles, or without a place for them, ask for the files by name.
  await keepHandles(handles).catch(() => {});
};

let begun = false;
let timer: ReturnType<typeof setTimeout> | undefined;

/** Keeps the open masters from now on. */
export const keepOpen = (): void => {
  if (begun) return;
  begun = true;
  const soon = () => {
    clearTimeout(timer);
    timer = setTimeout(() => void keepNow(), QUIET_MS);
  };
  for (const store of [$history, $masters, $camera]) store.listen(soon);
  addEventListener('pagehide', () => void keepNow());
  soon();
};
