import { join } from 'node:path';
import { readSky, skyCards } from '../formats/fits/sky.ts';
import { writeMono } from '../formats/fits/write.ts';
import { throwIfCancelled } from '../plane/errors.ts';
import type { Card } from '../plane/facts.ts';
import type { PictureWriter } from '../plane/picture.ts';
import type { PlaneSource } from '../plane/plane.ts';
import type { StripOptions } from '../plane/strips.ts';
import { VERSION } from '../plane/version.ts';
import { bandRows } from '../render/picture.ts';
import { starlessLines } from '../work/list-stars.ts';
import type { Zeros } from '../work/open-lines.ts';
import { findingsCache } from './cache/findings-cache.ts';
import { type FileSink, fileSink, makeFolder } from './files/file-sink.ts';
import { nameFault } from './files/name-fault.ts';
import { withLines } from './masters/file-lines.ts';
import { refuseInputAsOutput } from './mix-files.ts';
import { withExecutor } from './threads/executor.ts';

/** Masters whose stars are taken out. */
export interface StarlessOptions {
  /** Line → file, all of one size. */
  readonly inputs: Readonly<Record<string, string>>;
  /** A folder for the files, made if needed: LINE-starless.fits for each line. */
  readonly output: string;
  /** Whether zeros connected to the border are missing data; 'undefined', that they are, by default. */
  readonly zeros?: Zeros | undefined;
  /** Combines masters of a line that lie more than a pixel apart, with a warning. */
  readonly apart?: boolean | undefined;
  readonly force?: boolean | undefined;
  /** A folder that keeps what was found of masters. */
  readonly cache?: string | undefined;
  readonly signal?: AbortSignal | undefined;
  /** Called with the stage and the share of it that is done, 0…1. */
  readonly progress?: ((stage: 'measure' | 'apply', done: number) => void) | undefined;
}

/** What was written. */
export interface StarlessResult {
  readonly files: readonly string[];
  /** How many stars were taken out of all lines. */
  readonly stars: number;
  readonly warnings: readonly string[];
}

/**
 * Writes masters without their stars as 32-bit FITS files: good for mixing, not for measuring. None is written where one
 * cannot be made; each is there whole or not at all.
 * @throws LinewashError 'input' and 'format' before anything is written, 'output' with nothing left behind
 */
export const starlessFiles = (options: StarlessOptions): Promise<StarlessResult> => {
  const { inputs, output, apart, force = false, signal, zeros = 'undefined', progress } = options;
  return withExecutor(signal, (executor) =>
    withLines(inputs, { apart, signal, executor, cache: findingsCache(options.cache) }, async (lines) => {
      const names = Object.keys(inputs);
      const files = names.map((name) => join(output, `${name}-starless.fits`));
      const masters = await lines.masters(zeros);
      for (const file of files) {
        const fault = force ? undefined : await nameFault(file);
        if (fault) throw fault;
        await refuseInputAsOutput(file, masters);
      }
      const found = await starlessLines(lines, names, zeros, {
        signal,
        progress: (done) => progress?.('measure', done),
      });
      await makeFolder(output);
      const cards = found.starless.map((source, k) => cardsOf(source, names[k]!, found.count));
      await writeTogether(found.starless, files, cards, force, {
        signal,
        progress: (done) => progress?.('apply', done),
      });
      return { files, stars: found.count, warnings: found.notes };
    }),
  );
};

/** Keys of a header that stay true. */
const KEPT = /^(OBJECT|FILTER|EXPTIME|EXPOSURE|NCOMBINE|DATE-(OBS|BEG|END|AVG)|INSTRUME|TELESCOP|XBINNING|YBINNING)$/;

const cardsOf = ({ facts, file, height }: PlaneSource, line: string, count: number): Card[] => {
  const sky = readSky(facts.cards, height);
  return [
    ...facts.cards.filter(({ keyword }) => KEPT.test(keyword)),
    ...(sky ? skyCards(sky, 2) : []),
    {
      keyword: 'HISTORY',
      value: undefined,
      comment: `linewash ${VERSION} took ${count} stars out of all lines of this frame.`,
    },
    { keyword: 'HISTORY', value: undefined, comment: `Line ${line}, from ${ascii(file)}` },
    {
      keyword: 'HISTORY',
      value: undefined,
      comment: 'For mixing colours, not photometry: what lay under stars is a guess.',
    },
  ];
};

const ascii = (text: string): string => text.replace(/[^ -~]/g, '?').slice(-40);

/** Writes all lines band by band, so that what they share is computed once. */
const writeTogether = async (
  sources: readonly PlaneSource[],
  files: readonly string[],
  cards: readonly (readonly Card[])[],
  force: boolean,
  { signal, progress }: StripOptions,
): Promise<void> => {
  const { width, height } = sources[0]!;
  const sinks: FileSink[] = [];
  try {
    for (const file of files) sinks.push(await fileSink(file, force));
    const writers = sinks.map(
      (sink, k): PictureWriter => writeMono(sink, { width, height, type: 'f32', cards: cards[k]! }),
    );
    const rows = bandRows(width, sources);
    for (let y = 0; y < height; y += rows) {
      throwIfCancelled(signal);
      const some = Math.min(rows, height - y);
      for (const [k, source] of sources.entries()) {
        const band = new Float32Array(some * width);
        await source.readRows(y, some, band);
        await writers[k]!.writeRows(band);
      }
      progress?.((y + some) / height);
    }
    for (const writer of writers) await writer.finish();
    for (const sink of sinks) await sink.close();
  } catch (cause) {
    for (const sink of sinks) await sink.abort();
    throw cause;
  }
};
