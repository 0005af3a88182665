import { throwIfCancelled } from '../plane/errors.ts';
import type { HeaderFacts } from '../plane/facts.ts';
import type { PlaneSource } from '../plane/plane.ts';
import { type StripOptions, samplesFor } from '../plane/strips.ts';
import { AROUND, type BlockNoise, blockMeter } from './block-noise.ts';
import { operations } from './choose-operations.ts';
import { type Calibration, fitNoise } from './fit-noise.ts';
import type { LineNoise } from './noise-model.ts';

/** Pictures of fewer pixels are measured by small blocks. */
const SMALL = 4e5;
const LARGE_BLOCK = 64;
const SMALL_BLOCK = 32;
const CALIBRATIONS: Readonly<Record<number, Calibration>> = {
  [SMALL_BLOCK]: { first: 0.974, ratio: 0.916 },
  [LARGE_BLOCK]: { first: 0.986, ratio: 0.96 },
};
/** More blocks than about this make the noise no better known: of larger frames every second or third row and column of blocks is measured. */
const ENOUGH_BLOCKS = 1024;

/**
 * Finds the noise of a line from its pixels: the noise of the first two scales in blocks, its rise with the level and the
 * correlation of neighbours. Reads rows of the source once, of large frames not all. Undefined where the source shows no
 * noise, or hardly a block of it is defined.
 */
export const findNoise = async (source: PlaneSource, options: StripOptions = {}): Promise<LineNoise | undefined> => {
  const { width, height } = source;
  const size = width * height < SMALL ? SMALL_BLOCK : LARGE_BLOCK;
  const [across, down] = [Math.floor(width / size), Math.floor(height / size)];
  const every = Math.max(1, Math.ceil(Math.sqrt((across * down) / ENOUGH_BLOCKS)));
  const data = samplesFor(source, Math.min(height, size + 2 * AROUND) * width);
  const measure = blockMeter(operations(), size);
  const blocks: BlockNoise[] = [];
  for (let j = 0; j < down; j += every) {
    throwIfCancelled(options.signal);
    const top = Math.max(0, j * size - AROUND);
    const rows = Math.min(height, (j + 1) * size + AROUND) - top;
    await source.readRows(top, rows, data);
    for (let i = 0; i < across; i += every) {
      const found = measure({ data, width, height, top, rows }, i * size, j * size);
      if (found) blocks.push(found);
    }
    options.progress?.(Math.min(1, (j + every) / down));
  }
  return fitNoise(blocks, CALIBRATIONS[size]!, gainOf(source.facts));
};

/** Variance for each unit of a mean of subs, where the header states electrons a unit and the number of subs. */
const gainOf = ({ cards, subs }: HeaderFacts): number | undefined => {
  const gain = cards.find(({ keyword }) => keyword === 'EGAIN')?.value;
  return typeof gain === 'number' && gain > 0 && subs !== undefined && subs > 0 ? 1 / (gain * subs) : undefined;
};
