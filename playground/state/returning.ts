import { guessLine } from '../model/assign.ts';
import { fileAt, type KeptHandle, keptHandles, mayRead } from '../model/handle-store.ts';
import { checkedOpen, type KeptMaster, type KeptOpen } from '../model/kept-open.ts';
import { notePlace } from '../model/places.ts';
import { NO_BOXES } from '../model/target-boxes.ts';
import { text } from '../text-targets.ts';
import { notePart, type PageTarget } from './history.ts';
import { keepOpen } from './keep-open.ts';
import { kept } from './kept.ts';
import { $onSamples, described, type PageMaster, telling } from './masters.ts';
import { reportAll, say, unsay } from './messages.ts';
import { closeInWorker, openInWorker, showMasters } from './open-set.ts';
import { pickFiles } from './pick-files.ts';
import { noteCamera } from './targets.ts';
import { $camera } from './view.ts';

const TOPIC = 'work';

const namesOf = ({ targets }: KeptOpen): string[] => targets.flatMap(({ masters }) => masters.map(({ file }) => file));

/** What was kept before masters were kept one by one: their names. */
const byName = (files: readonly string[]): KeptOpen => ({
  current: '',
  targets: [{ name: '', masters: files.map((file) => ({ file, name: file, size: -1, line: '' })), boxes: NO_BOXES }],
});

/**
 * Opens the masters of the last visit again: at once where the browser lets the page read them, else when the user allows
 * it, or chooses the files.
 */
export const offerReturn = async (files: readonly string[]): Promise<void> => {
  const open = checkedOpen(kept('open')) ?? byName(files);
  const handles = await keptHandles();
  const known = open.targets.every(({ masters }) => masters.every((one) => handles.some((h) => isOf(h, one))));
  if (!known) return askFor(open, text.back);
  if (await allAllowed(handles, false)) return bringBack(open, await filesAt(handles));
  const act = async (): Promise<void> => {
    if (await allAllowed(handles, true)) await bringBack(open, await filesAt(handles));
    else askFor(open, text.back);
  };
  const action = { words: text.openThem, act: () => void act() };
  say({ topic: TOPIC, kind: 'note', words: text.back, advice: text.mayOpen(namesOf(open)), action });
};

const isOf = ({ file, size }: KeptHandle, master: KeptMaster): boolean => file === master.file && size === master.size;

/** Names the files and lets the user choose them. */
const askFor = (open: KeptOpen, words: string, found: readonly File[] = []): void => {
  const act = async () => bringBack(open, [...found, ...(await pickFiles())]);
  const action = { words: text.chooseThem, act: () => void act() };
  say({ topic: TOPIC, kind: 'note', words, advice: text.openAgain(namesOf(open)), action });
};

const allAllowed = async (handles: readonly KeptHandle[], ask: boolean): Promise<boolean> => {
  for (const handle of handles) if (!(await mayRead(handle, ask))) return false;
  return true;
};

const filesAt = async (handles: readonly KeptHandle[]): Promise<File[]> => {
  const found: File[] = [];
  for (const handle of handles) {
    const file = await fileAt(handle);
    if (file === undefined) continue;
    notePlace(file, { path: handle.path, root: handle.root });
    found.push(file);
  }
  return found;
};

/** The file of a master among those found: of its size where that is known. */
const fileOf = ({ name, size }: KeptMaster, files: readonly File[]): File | undefined =>
  files.find((file) => file.name === name && (size < 0 || file.size === size));

let nextId = 0;

/** Opens targets with the files that were found; those that are missing are asked for. */
const bringBack = async (open: KeptOpen, files: readonly File[]): Promise<void> => {
  const all = open.targets.flatMap(({ masters }) => masters);
  const missing = all.filter((master) => fileOf(master, files) === undefined);
  if (missing.length > 0) {
    const words = files.length === 0 ? text.back : text.notFound(missing.map(({ file }) => file));
    return askFor(open, words, files);
  }
  unsay(TOPIC);
  const control = new AbortController();
  const work = telling(control);
  const failed: unknown[] = [];
  const openOne = async (master: KeptMaster, at: number): Promise<PageMaster[]> => {
    const from = fileOf(master, files)!;
    const wish = { id: `r${nextId++}`, name: master.file, from };
    work.tell(text.opening(master.file), at / all.length);
    try {
      const opened = await openInWorker(wish, control.signal);
      const guess = guessLine(described(opened));
      const { line } = master;
      const asKept = line === guess.line || line === '' ? guess : { line, reason: { kind: 'chosen' } as const };
      return [{ ...opened, from, ...asKept }];
    } catch (error) {
      failed.push(error);
      return [];
    }
  };
  const targets: PageTarget[] = [];
  let at = 0;
  for (const { name, masters, boxes, camera } of open.targets) {
    const opened: PageMaster[] = [];
    for (const master of masters) opened.push(...(await openOne(master, at++)));
    targets.push({ name, masters: opened, boxes });
    noteCamera(name, camera);
  }
  work.end();
  reportAll('open', failed);
  show(open, targets);
};

/** Puts what was opened on screen, unless the user opened other masters meanwhile. */
const show = (open: KeptOpen, targets: readonly PageTarget[]): void => {
  const current = targets.find(({ name }) => name === open.current)!;
  const idsOf = ({ masters }: PageTarget) => masters.map(({ id }) => id);
  if (!$onSamples.get()) {
    closeInWorker(targets.flatMap(idsOf));
    return;
  }
  const masters = { masters: current.masters, onSamples: false };
  const several = targets.length > 1 ? { targets: { current: current.name, all: targets } } : {};
  notePart({ open: masters, ...several });
  showMasters(masters);
  closeInWorker(targets.filter((one) => one !== current).flatMap(idsOf));
  const { camera } = open.targets.find(({ name }) => name === open.current)!;
  if (camera !== undefined) $camera.set(camera);
  keepOpen();
};
