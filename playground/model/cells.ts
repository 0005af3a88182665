import type { Point, Size, Stage } from './camera.ts';

/** Room between two cells, in pixels of the view. */
export const GAP = 2;

/**
 * Parts a room into equal cells, row by row: in as many columns as let a picture of this shape be largest.
 * @param count 1…4
 */
export const cellsOf = (room: Stage, count: number, picture: Size): Stage[] => {
  if (count <= 1) return [room];
  const ways = Array.from({ length: count }, (_, i) => i + 1).map((columns) => {
    const rows = Math.ceil(count / columns);
    const width = Math.max(1, (room.width - GAP * (columns - 1)) / columns);
    const height = Math.max(1, (room.height - GAP * (rows - 1)) / rows);
    return { columns, width, height, scale: Math.min(width / picture.width, height / picture.height) };
  });
  const { columns, width, height } = ways.reduce((best, way) => (way.scale > best.scale ? way : best));
  return Array.from({ length: count }, (_, i) => ({
    x: room.x + (i % columns) * (width + GAP),
    y: room.y + Math.floor(i / columns) * (height + GAP),
    width,
    height,
  }));
};

const holds = ({ x, y, width, height }: Stage, point: Point): boolean =>
  point.x >= x && point.x < x + width && point.y >= y && point.y < y + height;

/** The point of the first cell that shows what the others show under `point`; the point itself outside all of them. */
export const inFirst = (cells: readonly Stage[], point: Point): Point => {
  const cell = cells.find((one) => holds(one, point));
  const first = cells[0];
  if (cell === undefined || first === undefined) return point;
  return { x: point.x - cell.x + first.x, y: point.y - cell.y + first.y };
};
