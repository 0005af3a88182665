import { $reports } from './masters.ts';
import { $picture } from './picture.ts';
import { $wall } from './wall.ts';

/** What the page notes in the browser's timeline, so that its pace can be measured from outside. */
type Milestone = 'linewash-picture' | 'linewash-wall' | 'linewash-measured';

/** Tells whoever watches the timeline; nothing is kept for those who do not. */
const note = (name: Milestone, detail: unknown): void => {
  performance.mark(name, { detail });
  performance.clearMarks(name);
};

/** Notes every picture on screen or wall, and when lines have been measured, from now on. */
export const noteMilestones = (): void => {
  $picture.listen((picture) => {
    if (picture === undefined) return;
    const longest = Math.max(picture.width, picture.height);
    note('linewash-picture', { longest, width: picture.full.width });
  });
  $reports.listen((reports) => note('linewash-measured', { lines: Object.keys(reports).length }));
  $wall.listen((wall) => note('linewash-wall', { pictures: Object.keys(wall).length }));
};
