import { say } from '../../state/messages.ts';
import { putBack, type Tool, takeTool } from '../../state/tools.ts';
import { text } from '../../text.ts';

/** Each tool is loaded when it is first taken. */
const LOAD: Readonly<Record<Tool, () => Promise<unknown>>> = {
  probe: () => import('../probe/probe.ts'),
  compare: () => import('../compare/compare.ts'),
  marks: () => import('../marks/marks.ts'),
  box: () => import('../box/box.ts'),
  shifts: () => import('../shifts/shifts.ts'),
  sky: () => import('../sky/sky.ts'),
  hold: () => import('../hold/hold.ts'),
};

/** Says that a part of the page did not come. */
export const notLoaded = (): void =>
  say({ topic: 'part', kind: 'fault', words: text.app.notLoaded, advice: text.app.notLoadedAdvice });

/** Tools that are of no use without another. */
const NEEDED: Partial<Readonly<Record<Tool, Tool>>> = { hold: 'probe' };

/** Puts a tool to the picture. */
export const take = (tool: Tool): void => {
  const needed = NEEDED[tool];
  if (needed !== undefined) take(needed);
  takeTool(tool);
  LOAD[tool]().catch(() => {
    putBack(tool);
    notLoaded();
  });
};
