import { existsSync } from 'node:fs';
import { fileURLToPath } from 'node:url';

/** The invented targets, by the name that their files carry. */
export const SAMPLE_TARGETS = ['emberwing', 'brightfen', 'palehoop'] as const;

/** What can be computed: the masters of a target, the same without stars, or headers of subs. */
export interface SampleRequest {
  /** Emberwing where none is named; for subs, all of them. */
  readonly target?: (typeof SAMPLE_TARGETS)[number];
  readonly kind: 'masters' | 'starless' | 'subs';
  /** Width of the full frame in pixels. */
  readonly width?: number;
}

/** One computed file; folders in its name are separated by `/`. `done` is the share of all work, 0 to 1. */
export interface SampleFile {
  readonly name: string;
  readonly bytes: Uint8Array;
  readonly done: number;
}

/** The part of the generator that the command uses. */
export interface SampleScene {
  sampleFiles(request: SampleRequest): AsyncIterable<SampleFile>;
}

/** The generator: beside the command, where the build puts it as one file that nothing else loads, else its source. */
const SCENES = ['./scene.js', '../../samples/scene/index.ts'].map((path) => new URL(path, import.meta.url));

/** Loads the generator of the invented targets, which only this needs. */
export const sampleScene = (): Promise<SampleScene> =>
  import(/* @vite-ignore */ SCENES.find((url) => existsSync(fileURLToPath(url)))!.href);
