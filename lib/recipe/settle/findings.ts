import type { Background } from '../../prepare/background/level.ts';
import type { Surface } from '../../prepare/background/surface.ts';
import type { Spots } from '../../prepare/fill.ts';
import type { LineNoise } from '../../smooth/noise-model.ts';
import type { SettledContinuum } from './settled.ts';

/** What was found out about one channel beside its plain statistics; everything may be absent. */
export interface ChannelFindings {
  /** Level and spread from dark blocks or a box, instead of those after clipping. */
  readonly background?: Background;
  /** Noise from one pixel to the next, blind to structure. */
  readonly pixelNoise?: number;
  /** The gradient that was taken off before measuring. */
  readonly surface?: Surface;
  readonly continuum?: SettledContinuum;
  /** What is filled before all else. */
  readonly spots?: Spots;
  /** How its noise depends on the level, and from pixel to pixel, for smoothing. */
  readonly lineNoise?: LineNoise;
  /** For the scale `fit`: brings the channel to the footing of the reference line. */
  readonly factor?: number;
}

/** By channel name. */
export type Findings = Readonly<Record<string, ChannelFindings>>;
