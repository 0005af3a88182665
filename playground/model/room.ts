import type { Point, Size, Stage } from './camera.ts';

/** Height of the row of controls at the lower edge of the picture. */
const BAR = 42;

/** What panels leave of a view when all are out: the picture is fitted to that, so that no panel moves it. */
export const stageOf = (element: HTMLElement | null, view: Size): Stage => {
  if (!element?.clientWidth) return { x: 0, y: 0, ...view };
  return { x: element.offsetLeft, y: element.offsetTop, width: element.clientWidth, height: element.clientHeight };
};

/** What they leave of it now. */
export const openRoom = (stage: Stage, view: Size, away: readonly string[]): Stage => {
  const left = away.includes('lines') ? 0 : stage.x;
  const right = away.includes('bench') ? view.width : stage.x + stage.width;
  return { x: left, y: 0, width: right - left, height: away.includes('wall') ? view.height - BAR : stage.height };
};

export const middleOf = ({ x, y, width, height }: Stage): Point => ({ x: x + width / 2, y: y + height / 2 });
