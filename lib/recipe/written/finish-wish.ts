import { folds } from '../../finish/bends.ts';
import type { Bend } from '../../finish/finish.ts';
import type { RecipeFault } from './fault.ts';
import { FINISH_RANGES, USUAL_BEND_WIDTH } from './limits.ts';
import type { FinishWish, WrittenFinish } from './schema.ts';

type Path = (string | number)[];
type Slot = number | string;

/** A number of a finish that may be written as a text. */
interface FinishSlot {
  readonly value: Slot;
  readonly path: Path;
  readonly range: readonly [number, number];
}

const CHROMA_KEYS = ['gain', 'from', 'to', 'until'] as const;
const BEND_RANGES = {
  at: FINISH_RANGES.hue,
  to: FINISH_RANGES.hue,
  width: FINISH_RANGES.width,
  chroma: FINISH_RANGES.bendChroma,
} as const;

/** Every number of a finish, with its path in the recipe and what it may be. */
export const finishSlots = ({ tone = [], chroma, bends = [] }: WrittenFinish): FinishSlot[] => {
  const gains = typeof chroma === 'object' ? chroma : {};
  return [
    ...tone.flatMap((point, i) =>
      point.map((value, k) => ({ value, path: ['finish', 'tone', i, k], range: FINISH_RANGES.tone })),
    ),
    ...CHROMA_KEYS.flatMap((key) => slot(gains[key], ['finish', 'chroma', key], FINISH_RANGES[key])),
    ...bends.flatMap((bend, i) =>
      (Object.keys(BEND_RANGES) as (keyof Bend)[]).flatMap((key) =>
        slot(bend[key], ['finish', 'bends', i, key], BEND_RANGES[key]),
      ),
    ),
  ];
};

const slot = (value: Slot | undefined, path: Path, range: readonly [number, number]): FinishSlot[] =>
  value === undefined ? [] : [{ value, path, range }];

/** The same finish with a number for each text. */
export const numberFinish = ({ tone, chroma, bends }: WrittenFinish, numberOf: (value: Slot) => number): FinishWish => {
  const numbers = <T extends object>(entry: T) =>
    Object.fromEntries(
      Object.entries(entry).flatMap(([key, value]) => (value === undefined ? [] : [[key, numberOf(value as Slot)]])),
    );
  return {
    ...(tone && { tone: tone.map(([x, y]): [number, number] => [numberOf(x), numberOf(y)]) }),
    ...(chroma !== undefined && { chroma: chroma === 'auto' ? chroma : numbers(chroma) }),
    ...(bends && { bends: bends.map((bend) => ({ at: 0, ...numbers(bend) })) }),
  };
};

/** The bends of a finish with what it does not say. */
export const bendsOf = ({ bends = [] }: FinishWish): Bend[] =>
  bends.map(({ at, to = at, width = USUAL_BEND_WIDTH, chroma = 1 }) => ({ at, to, width, chroma }));

/** What can be said only of a finish whose numbers are known. */
export const finishFaults = (finish: FinishWish): RecipeFault[] => [
  ...toneFaults(finish),
  ...gainFaults(finish),
  ...(folds(bendsOf(finish))
    ? [
        {
          path: ['finish', 'bends'],
          message:
            'hues would fold: two would become one. Move them less far (one bend: at most 0.64 of its width), or widen the bends',
        },
      ]
    : []),
];

const toneFaults = ({ tone = [] }: FinishWish): RecipeFault[] =>
  tone.flatMap(([x, y], i): RecipeFault[] => {
    const path = ['finish', 'tone', i];
    const before = tone[i - 1];
    if (x === 0 && y > 0) return [{ path, message: `[${x}, ${y}] lifts black; the curve begins at [0, 0]` }];
    if (before === undefined || (x > before[0] && y >= before[1])) return [];
    return [{ path, message: `[${x}, ${y}] does not rise after [${before.join(', ')}]` }];
  });

const gainFaults = ({ chroma }: FinishWish): RecipeFault[] => {
  if (chroma === undefined || chroma === 'auto') return [];
  const { from, to } = chroma;
  if (from === undefined || to === undefined || to > from) return [];
  return [{ path: ['finish', 'chroma', 'to'], message: `found ${to}; it lies above "from", ${from}` }];
};
