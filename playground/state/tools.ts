import { atom } from 'nanostores';

/** What can lie over the picture, each with a strip of its own below; several may be out at once. */
export const TOOLS = ['probe', 'compare', 'marks', 'box', 'shifts', 'sky', 'hold'] as const;
export type Tool = (typeof TOOLS)[number];

/** Tools that are out, in the order of TOOLS. */
export const $tools = atom<readonly Tool[]>([]);

export const takeTool = (tool: Tool): void => {
  const out = $tools.get();
  if (!out.includes(tool)) $tools.set(TOOLS.filter((t) => t === tool || out.includes(t)));
};

export const putBack = (tool: Tool): void => $tools.set($tools.get().filter((t) => t !== tool));
