import type { Candidate } from '../state/candidates.ts';
import type { Order } from '../state/wall.ts';
import type { Figures } from './figures.ts';

/** Pinned candidates first, in the order of their pinning; the rest as listed, or best first by a figure. */
export const inOrder = (
  candidates: readonly Candidate[],
  pinned: readonly string[],
  order: Order,
  figures: Readonly<Record<string, Figures>>,
): Candidate[] => {
  // The wider apart the better; of noise and of what is out of range, the less. What is not known comes last.
  const cost = ({ id }: Candidate): number => {
    if (order === 'listed') return 0;
    const value = figures[id]?.[order];
    if (value === undefined) return Number.MAX_VALUE;
    return order === 'separation' ? -value : value;
  };
  const first = pinned.flatMap((id) => candidates.find((candidate) => candidate.id === id) ?? []);
  const rest = candidates.filter(({ id }) => !pinned.includes(id));
  return [...first, ...rest.sort((a, b) => cost(a) - cost(b))];
};

/** The part of the picture in the middle of the view that a band shows: as wide as the view, in the band's shape. */
export const bandPart = (
  camera: { readonly x: number; readonly y: number; readonly scale: number },
  view: { readonly width: number },
  full: { readonly width: number; readonly height: number },
  shape: number,
): { x: number; y: number; width: number; height: number } | undefined => {
  const width = Math.round(Math.min(full.width, view.width / camera.scale));
  const height = Math.round(width / shape);
  if (width >= full.width || height > full.height || width < 1 || height < 1) return undefined;
  const within = (middle: number, size: number, end: number) =>
    Math.round(Math.min(end - size, Math.max(0, middle - size / 2)));
  return { x: within(camera.x, width, full.width), y: within(camera.y, height, full.height), width, height };
};
