import type { LineOptics } from './camera.ts';
import type { Gas } from './gas.ts';
import type { PerLine, SceneOptions } from './options.ts';
import type { StarField } from './stars.ts';

/** What makes an invented target: its sky and its place before the camera. */
export interface Target {
  /** The name as a header writes it; files carry it in small letters. */
  readonly object: string;
  /** The options that it has where none are given. */
  readonly options: SceneOptions;
  readonly optics: PerLine<LineOptics>;
  readonly gasOf: (seed: number) => Gas;
  readonly stars: StarField;
  /** A faint shell that only O shows: electrons per second and pixel where `gas` writes 1 into its fourth place. */
  readonly shell?: number;
}
