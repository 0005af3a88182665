import type { Card } from '../../lib/plane/facts.ts';
import { COUNTS_PER_RATE, EXPOSURE, GAIN, noiseOf, PEDESTAL, READ_NOISE } from './camera.ts';
import { inventedBy, monoFile, subjectCards } from './file.ts';
import { type Run, SEASON } from './nights.ts';
import type { TargetName } from './options.ts';
import { random } from './random.ts';
import { TARGETS } from './targets.ts';

/** Seconds from one sub to the next beyond the exposure: reading, and moving a little. */
const PAUSE = 20;
/** A sub's picture is a few pixels of sky: who counts subs reads headers alone. */
const WIDTH = 8;
const HEIGHT = 4;

/** One sub-exposure as a file. */
export interface Sub {
  readonly target: TargetName;
  /** The evening's date, the folder that the file lies in. */
  readonly night: string;
  readonly name: string;
  bytes(): Promise<Uint8Array<ArrayBuffer>>;
}

const cardsOf = ({ target, line, start }: Run, index: number, temperature: number): Card[] => {
  const begun = new Date(Date.parse(`${start}Z`) + 1000 * index * (EXPOSURE + PAUSE));
  return [
    ...subjectCards(target, line),
    { keyword: 'IMAGETYP', value: 'Light Frame' },
    { keyword: 'EXPTIME', value: EXPOSURE, comment: '[s]' },
    { keyword: 'DATE-OBS', value: begun.toISOString().slice(0, 19), comment: 'invented; UTC' },
    { keyword: 'GAIN', value: 100, comment: 'setting of the camera' },
    { keyword: 'EGAIN', value: GAIN, comment: 'electrons per count' },
    { keyword: 'RDNOISE', value: READ_NOISE, comment: '[electron]' },
    { keyword: 'CCD-TEMP', value: temperature, comment: '[degC]' },
    { keyword: 'XBINNING', value: 1 },
    { keyword: 'YBINNING', value: 1 },
    ...inventedBy('"samples"'),
  ];
};

/** A few pixels of sky with the noise of one sub. */
const skyOf = ({ target, line }: Run, seed: number): Uint16Array => {
  const rng = random(seed, 32);
  const mean = PEDESTAL + COUNTS_PER_RATE * TARGETS[target].optics[line].sky;
  return Uint16Array.from({ length: WIDTH * HEIGHT }, () => Math.round(mean + noiseOf(mean, 1) * rng.normal()));
};

const subOf = (run: Run, night: string, index: number, number: number): Sub => ({
  target: run.target,
  night,
  name: `${run.target}-${run.line}-${String(number).padStart(3, '0')}.fits`,
  bytes() {
    const seed = Date.parse(`${run.start}Z`) / 1000 + index;
    const temperature = -10 + Math.round(random(seed, 33).normal()) / 10;
    const data = skyOf(run, seed);
    return monoFile({ width: WIDTH, height: HEIGHT, data, cards: cardsOf(run, index, temperature) });
  },
});

/** The subs of the season in the order in which they were taken, of one target or of all; numbers run on from night to night. */
export const subsOf = (target?: TargetName): Sub[] => {
  const taken = new Map<string, number>();
  return SEASON.flatMap(({ date, runs }) =>
    runs.flatMap((run) =>
      Array.from({ length: run.subs }, (_, index) => {
        const key = `${run.target} ${run.line}`;
        const number = (taken.get(key) ?? 0) + 1;
        taken.set(key, number);
        return subOf(run, date, index, number);
      }),
    ),
  ).filter((sub) => target === undefined || sub.target === target);
};
