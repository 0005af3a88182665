import type { BackgroundWish } from '../recipe/written/schema.ts';
import type { OpenLines, Zeros } from '../work/open-lines.ts';
import { lookAtSurface, type SurfaceLook } from '../work/surface.ts';
import type { Lines } from './measure-lines.ts';
import { forScreen, type ScreenPicture } from './screen.ts';
import { type CallContext, handOver } from './wire/rpc.ts';

export interface SurfaceQuestion {
  readonly lines: Lines;
  readonly line: string;
  readonly zeros: Zeros;
  readonly background: BackgroundWish;
}

/** A line's background surface: as a picture over the line's frame, and in numbers in the master's units. */
export interface SurfaceView {
  readonly line: string;
  readonly picture: ScreenPicture;
  /** The part of the frame that the picture shows, in full-size pixels: whole blocks may reach beyond its edges. */
  readonly box: { readonly x: 0; readonly y: 0; readonly width: number; readonly height: number };
  readonly order: number;
  /** Side of a block, and where each block's pixels lie in the mean, in full-size pixels. */
  readonly size: number;
  readonly blocks: readonly { readonly x: number; readonly y: number; readonly used: boolean }[];
  /** What is left between the blocks used, and the noise from one pixel to the next. */
  readonly rms: number;
  readonly pixelNoise: number;
  /** Standard error of the surface over the frame, and the order that has the least; infinite where it cannot be known. */
  readonly uncertainty: number;
  readonly best: number;
  readonly warnings: readonly string[];
}

/**
 * Fits the background surface that a recipe asks for to one line, for looking at.
 * @throws LinewashError 'input' where too few blocks hold data.
 */
export const surfaceView = async (
  lines: OpenLines,
  { line, zeros, background }: Omit<SurfaceQuestion, 'lines'>,
  { signal, progress }: CallContext,
): Promise<SurfaceView> => {
  const [channel] = await lines.full([line], zeros, { signal });
  return viewOf(line, await lookAtSurface(channel!, background, { signal, progress }));
};

const viewOf = (line: string, { found, picture: drawn, warnings }: SurfaceLook): SurfaceView => {
  const { grid, fit, pixelNoise, uncertainty, best } = found;
  const picture = forScreen(drawn);
  const whole = (length: number) => Math.ceil(length / grid.size) * grid.size;
  const view: SurfaceView = {
    line,
    picture,
    box: { x: 0, y: 0, width: whole(grid.width), height: whole(grid.height) },
    order: fit.surface.order,
    size: grid.size,
    blocks: grid.blocks.map(({ x, y }, i) => ({ x, y, used: fit.used[i]! })),
    rms: fit.rms,
    pixelNoise,
    uncertainty,
    best: best.order,
    warnings,
  };
  return handOver(view, [picture.data.buffer]);
};
